"""What is kept: tables, migrations, one module a thing."""

"""Files and services of weather → one plain hourly or daily table."""

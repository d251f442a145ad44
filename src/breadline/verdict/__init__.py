"""What a trial says: models, tests and the verdict, from arrays and numbers alone."""

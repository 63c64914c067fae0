"""Records: values kept in SQLite or PostgreSQL through SQLAlchemy."""

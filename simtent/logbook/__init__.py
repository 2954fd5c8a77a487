"""Logged nights: files of loggers as readings by place; what was mended and what is doubtful, told with counts."""

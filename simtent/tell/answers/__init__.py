"""What every verb answers with --json: one document each, its shape declared once by models."""

"""The sheet set on paper: one PDF, vector, true scale, fonts embedded."""

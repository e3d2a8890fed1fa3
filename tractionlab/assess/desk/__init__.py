"""The candidate's forms."""

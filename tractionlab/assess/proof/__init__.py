"""Proofs of the keys by other routes."""

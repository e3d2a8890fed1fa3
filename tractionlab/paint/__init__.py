"""Painters: they take a View and make pixels of it, live in the browser (`live`) or on paper
(`printed`).
"""

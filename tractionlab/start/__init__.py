"""What opening the course needs beside the lessons: the page in the browser, and what a notebook
keeps when it is saved.
"""

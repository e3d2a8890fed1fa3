"""A class on one machine: JupyterHub, set up so that each learner signs in with a name, the class
password and a PIN, and gets a folder and a server of their own.
"""

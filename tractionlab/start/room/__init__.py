"""The exam room: a server that shows candidates one page of forms and nothing else.

Each page is worked by a kernel of its own, on the server's side; only messages of its forms reach
that kernel, and everything else that a browser asks for is refused and noted.
"""

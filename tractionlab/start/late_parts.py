"""What of JupyterLab a lesson page does without until somebody asks for *Notebook tools*."""

#: Parts that JupyterLab does not set up by itself (`deferredExtensions` of its page; names as its
#: plugin manager lists them); the page's later.js brings them with the tools. Each of them can
#: come late: it has no settings, and needs not see how a notebook is opened.
_LATE = (
    "application-extension:faviconbusy",  # an icon fetched anew for each part that is computed
    "apputils-extension:kernel-status",
    "apputils-extension:running-sessions-status",
    "codemirror-extension:line-col-status",
    "docmanager-extension:path-status",
    "docmanager-extension:saving-status",
    "notebook-extension:cell-counter-status",
    "notebook-extension:cursor-position",
    "notebook-extension:kernel-status",
    "notebook-extension:mode-status",
    "notebook-extension:trust-status",
)
#: What JupyterLab's page is told of it. Nor is anybody asked whether JupyterLab itself is to be
#: built anew: a learner's machine cannot, and where it could, the question starts Node.
LATE_PARTS = {
    "deferredExtensions": [f"@jupyterlab/{part}" for part in _LATE],
    "buildAvailable": False,
    "buildCheck": False,
}

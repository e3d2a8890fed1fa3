"""What of JupyterLab a lesson page does without until somebody asks for *Notebook tools*, and what
the course never needs.
"""

#: Parts that JupyterLab does not set up by itself (`deferredExtensions` of its page; names as its
#: plugin manager lists them, one without a colon means all parts of that extension); the page's
#: later.js brings them with the tools. Each of them can come late: no part that stays needs it, it
#: needs not see how a notebook is opened, and its settings are not put together while JupyterLab
#: starts (no "jupyter.lab.transform" in their schema).
_LATE = (
    "application-extension:faviconbusy",  # an icon fetched anew for each part that is computed
    "apputils-extension:kernel-status",
    "apputils-extension:licenses-client",
    "apputils-extension:licenses-plugin",
    "apputils-extension:print",
    "apputils-extension:running-sessions-status",
    "apputils-extension:themes-palette-menu",
    "apputils-extension:toggle-header",
    "apputils-extension:workspaces",
    "audio-extension",
    "codemirror-extension:line-col-status",
    "console-extension:cursor-position",
    "console-extension:kernel-status",
    "debugger-extension",
    "docmanager-extension:download",
    "docmanager-extension:open-browser-tab",
    "docmanager-extension:path-status",
    "docmanager-extension:saving-status",
    "extensionmanager-extension",
    "filebrowser-extension:create-new-language-file",
    "filebrowser-extension:download",
    "filebrowser-extension:file-upload-status",
    "filebrowser-extension:notify-upload",
    "filebrowser-extension:open-browser-tab",
    "filebrowser-extension:open-url",
    "filebrowser-extension:open-with",
    "filebrowser-extension:share-file",
    "help-extension",
    "imageviewer-extension",
    "markdownviewer-extension",
    "notebook-extension:cell-counter-status",
    "notebook-extension:cloned-outputs",
    "notebook-extension:code-console",
    "notebook-extension:copy-output",
    "notebook-extension:cursor-position",
    "notebook-extension:export",
    "notebook-extension:kernel-status",
    "notebook-extension:mode-status",
    "notebook-extension:toc",
    "notebook-extension:trust-status",
    "pluginmanager-extension",
    "running-extension",
    "settingeditor-extension",
    "terminal-extension",
    "toc-extension:tracker",
    "tooltip-extension",
    "video-extension",
    "workspaces-extension",
)
#: News are off, and helpers for programs of one's own are not looked for (`opening.py`).
_NEVER = (
    "apputils-extension:announcements",
    "fileeditor-extension:language-server",
    "lsp-extension",
    "notebook-extension:language-server",
)
#: What JupyterLab's page is told of it. Nor is anybody asked whether JupyterLab itself is to be
#: built anew: a learner's machine cannot, and where it could, the question starts Node.
LATE_PARTS = {
    "deferredExtensions": [f"@jupyterlab/{part}" for part in _LATE],
    "disabledExtensions": {f"@jupyterlab/{part}": True for part in _NEVER},
    "buildAvailable": False,
    "buildCheck": False,
}

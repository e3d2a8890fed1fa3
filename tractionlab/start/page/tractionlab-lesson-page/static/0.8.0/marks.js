// The mark beside an output by which it is folded: JupyterLab asks at each change of an output
// whether it is high enough for one, and the browser has to lay out the whole lesson for that. A
// page shows none, so it asks when the tools come.

/** @param {any} CodeCell JupyterLab's class */
export function leaveMarksOut(CodeCell) {
  const look = CodeCell.prototype.updatePromptOverlayIcon;
  CodeCell.prototype.updatePromptOverlayIcon = function () {
    if (!this.node.closest(".tl-page")) look.call(this);
  };
}

/** @param {any} panel a notebook that is no page any more */
export function showMarks(panel) {
  for (const cell of panel.content.widgets) cell.updatePromptOverlayIcon?.();
}

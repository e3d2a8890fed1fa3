// What JupyterLab loads: a container of shared modules, written by hand. JupyterLab gives `init` the table of packages
// it shares and asks `get` for the plugin, which is an ordinary module beside this file.
(() => {
  const here = document.currentScript.src;
  let table = {};

  const style = document.createElement("link");
  style.rel = "stylesheet";
  style.href = String(new URL("lesson_page.0.1.1.css", here));
  document.head.append(style);

  const shared = async (name) => {
    const versions = Object.values(table[name] ?? {});
    if (!versions.length) throw new Error(`JupyterLab does not share ${name}`);
    return (await (versions.find((version) => version.loaded) ?? versions[0]).get())();
  };

  window._JUPYTERLAB ??= {};
  window._JUPYTERLAB["tractionlab-lesson-page"] = {
    init: async (scope) => { table = scope; },
    get: async () => {
      const { lessonPage } = await import(new URL("lesson_page.0.1.1.js", here));
      const plugin = await lessonPage(shared);
      return () => ({ __esModule: true, default: plugin });
    },
  };
})();

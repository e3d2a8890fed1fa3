// What JupyterLab loads: a container of shared modules, written by hand. JupyterLab gives `init`
// the table of packages it shares and asks `get` for the plugin, which is an ordinary module
// beside this file.
(() => {
  const here = /** @type {HTMLScriptElement} */ (document.currentScript).src;
  const global = /** @type {any} */ (window);
  /** @type {any} */
  let table = {};

  for (const name of ["page.css", "bar.css", "tasks.css"]) {
    const style = document.createElement("link");
    style.rel = "stylesheet";
    style.href = String(new URL(name, here));
    document.head.append(style);
  }
  // Straight to a notebook: JupyterLab's window is covered until the page stands, but never long.
  if (/\/tree\/.*\.ipynb$/.test(location.pathname)) {
    document.documentElement.classList.add("tl-page-coming");
    setTimeout(() => document.documentElement.classList.remove("tl-page-coming"), 8000);
  }

  const shared = async (name) => {
    /** @type {any[]} */
    const versions = Object.values(table[name] ?? {});
    if (!versions.length) throw new Error(`JupyterLab does not share ${name}`);
    return (await (versions.find((version) => version.loaded) ?? versions[0]).get())();
  };

  global._JUPYTERLAB ??= {};
  global._JUPYTERLAB["tractionlab-lesson-page"] = {
    init: async (scope) => {
      table = scope;
    },
    get: async () => {
      const { lessonPage } = await import(String(new URL("plugin.js", here)));
      const plugin = await lessonPage(shared);
      return () => ({ __esModule: true, default: plugin });
    },
  };
})();

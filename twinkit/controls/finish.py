"""What is left to do once all cells of a page have run."""

import gc

from IPython.display import display

REST_SECONDS = 2.0      # the browser has done its part by then
# What only the browser can do: names of fields for a screen reader, keys that stay with a list, back to the head of the page.
FINISH = """
const name = part => {
    // JupyterLab reads keys in what is no line of text as its own: an arrow leaves a list for the next cell, an m makes the cell a text
    for (const control of part.querySelectorAll('.jp-OutputArea-output :is(select, button, .noUi-handle, input[type=checkbox])')) control.dataset.lmSuppressShortcuts = 'true';
    for (const field of part.querySelectorAll(':is(input, select, textarea)[title]')) field.setAttribute('aria-label', field.title);
    for (const handle of part.querySelectorAll('.noUi-handle')) handle.setAttribute('aria-label', handle.closest('.widget-slider')?.querySelector('[title]')?.title ?? '');
    for (const tick of part.querySelectorAll('.tk-row input[type=checkbox]'))
        tick.setAttribute('aria-label', `${tick.closest('.tk-row').querySelector('.tk-label').textContent.trim()}: ${tick.closest('[class*=tk-side-], .tk-alone').textContent.trim()}`);
    for (const out of part.querySelectorAll('.tk-rows button[title]')) out.setAttribute('aria-label', out.title);
    for (const rows of part.querySelectorAll('.tk-rows')) rows.tabIndex = rows.querySelector('input') ? -1 : 0;      // an empty table is scrolled by the keyboard too
};
// with Ctrl or Cmd they stay JupyterLab's: saving is wanted wherever the hand is
window.twinkitKeys ??= (window.addEventListener('keydown', event => {
    const own = (event.ctrlKey || event.metaKey) && event.target.closest?.('[data-lm-suppress-shortcuts]');
    if (own) { delete own.dataset.lmSuppressShortcuts; setTimeout(() => { own.dataset.lmSuppressShortcuts = 'true'; }); }
}, true), true);
// a busy browser takes both messages of finish() at once, and element has left its page before this runs: then every page of ours
queueMicrotask(() => {
    const own = element.closest('.jp-Notebook');
    for (const page of own ? [own] : document.querySelectorAll('.jp-Notebook:has(.tk-page)')) {
        page.twinkit?.disconnect();
        page.twinkit = new MutationObserver(records => records.forEach(record => record.addedNodes.forEach(node => node.nodeType === 1 && name(record.target))));
        page.twinkit.observe(page, {childList: true, subtree: true});
        name(page);
        if (page.offsetParent) setTimeout(() => { page.querySelector('.jp-WindowedPanel-outer').scrollTop = 0; }, 700);
    }
});
"""


def finish(outputs):
    """Have the browser do its part, leaving nothing of it in the saved file, and let what stands now rest."""
    handle = display({"application/javascript": FINISH, "text/plain": ""}, raw=True, display_id=True)

    def rest():
        handle.update({"text/plain": ""}, raw=True)
        gc.collect()
        gc.freeze()      # looking through all of it for garbage would stop a moving picture for a tenth of a second

    outputs.later("finish", REST_SECONDS, rest)

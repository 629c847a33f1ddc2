"""What only the browser can do once all cells of a page have run: names of fields for a screen reader, keys that stay with a list, back to the head of the page."""

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
setTimeout(() => {
    const page = element.closest('.jp-Notebook');
    page.twinkit?.disconnect();
    page.twinkit = new MutationObserver(records => records.forEach(record => record.addedNodes.forEach(node => node.nodeType === 1 && name(record.target))));
    page.twinkit.observe(page, {childList: true, subtree: true});
    name(page);
});
setTimeout(() => document.querySelectorAll('.jp-WindowedPanel-outer').forEach(p => { if (p.contains(element)) p.scrollTop = 0; }), 700);
"""

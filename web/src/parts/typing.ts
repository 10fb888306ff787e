// Where letters are text: typing must never move anything else.

export function isTyping(target: EventTarget | null): boolean {
  return target instanceof Element && target.closest("input:not([type=range], [type=checkbox], [type=radio]), select, textarea, [contenteditable]") !== null;
}

/** Within something that lies over the page, the page's own keys rest. */
export function isOverThePage(target: EventTarget | null): boolean {
  return target instanceof Element && target.closest("dialog, [role=dialog]") !== null;
}

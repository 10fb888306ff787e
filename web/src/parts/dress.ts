// Looks that come with code fetched on demand: each sheet is put on once and stays.

const worn = new Set<string>();

export function dress(sheet: string): void {
  if (worn.has(sheet)) return;
  worn.add(sheet);
  const made = new CSSStyleSheet();
  made.replaceSync(sheet);
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, made];
}

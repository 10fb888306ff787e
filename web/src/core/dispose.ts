// Whatever is mounted returns the way to take it down again.

export type Dispose = () => void;

export function together(parts: readonly Dispose[]): Dispose {
  return () => {
    for (const dispose of [...parts].reverse()) dispose();
  };
}

/** Listens to one event of a page element until disposed. */
export function listen<Name extends keyof HTMLElementEventMap>(
  target: HTMLElement,
  name: Name,
  hear: (event: HTMLElementEventMap[Name]) => void,
  options?: AddEventListenerOptions,
): Dispose {
  target.addEventListener(name, hear, options);
  return () => target.removeEventListener(name, hear, options);
}

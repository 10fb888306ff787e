// Which data is asked about: the present, or what a case was saved on, as the page's own address says.

/** Id of the case the page is opened on; "" for the present data. */
export function caseInView(): string {
  return new URLSearchParams(location.search).get("case") ?? "";
}

/** An address of the service, asking about the data in view. */
export function ofDataInView(address: string): string {
  const id = caseInView();
  return id ? `${address}${address.includes("?") ? "&" : "?"}case=${encodeURIComponent(id)}` : address;
}

// What can be opened to work on the data.

export type Door =
  | { readonly name: "edit"; readonly code: string; readonly column: string }
  | { readonly name: "history"; readonly code: string }
  | { readonly name: "offers" | "paste" | "upload" };

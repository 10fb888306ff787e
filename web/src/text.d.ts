// Style sheets that are fetched on demand come as text, with the code that needs them.
declare module "*.css" {
  const text: string;
  export default text;
}

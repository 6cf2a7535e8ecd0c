/** The reader of tables that comes with the charts brings no types. */
declare module "d3-dsv" {
  export function csvParseRows(text: string): string[][];
}

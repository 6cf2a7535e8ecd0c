/** The reader of tables brings no types. */
declare module "d3-dsv" {
  export interface Dsv {
    parseRows(text: string): string[][];
  }
  export function dsvFormat(delimiter: string): Dsv;
}

/** A paper before it is set in a format: a title, blocks of fields, tables and lines. */

export type Field = readonly [label: string, value: string]

export type Block =
  | { kind: 'fields'; rows: readonly Field[] }
  | {
      kind: 'table'
      heading?: string
      columns: readonly string[]
      rows: readonly (readonly string[])[]
      widths: readonly number[]
    }
  | { kind: 'lines'; lines: readonly string[] }
  /** One of several alike: an object of its own in structured formats. */
  | { kind: 'section'; name: string; heading: string | null; blocks: readonly Block[] }

export interface Sheet {
  title: string
  /** Who issued it, above the title. */
  issuer: string
  blocks: readonly Block[]
  /** Program named in the file's own information. */
  creator: string
  /** True time at which the file was written. */
  made: number
  missingPage: number
}

/** Fields whose value is known. */
export const known = (rows: readonly (readonly [string, string | null])[]): Field[] =>
  rows.flatMap(([label, value]) => (value === null ? [] : [[label, value] as const]))

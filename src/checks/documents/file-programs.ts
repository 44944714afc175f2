/** The programs that a file says it was made by, as names that can be compared. */
import type { PdfWriter } from '../../facts/pdf-history.ts'

/** Without version numbers, marks and case: "Wayline R7 3.0.12" → "wayline r7". */
export function bareProgram(name: string): string {
  return name
    .toLowerCase()
    .replace(/\b(?:version|release|build|ver|rev)\b\.?/g, ' ')
    .replace(/(?<![\p{L}\p{N}])v?\d[\d.,_-]*[a-z]?(?![\p{L}\p{N}])/gu, ' ')
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()
}

/** Are two names those of one program, in whatever versions? */
export function isSameProgram(one: string, other: string): boolean {
  const [a, b] = [bareProgram(one), bareProgram(other)]
  return a === b || a === '' || b === '' || a.includes(b) || b.includes(a)
}

/** "Wayline R7 3.0.12, PDFKit". */
export function namePrograms({ creator, producer }: PdfWriter): string {
  return [...new Set([creator, producer].filter((name) => name !== undefined))].join(', ')
}

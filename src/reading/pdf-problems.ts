/** What is wrong with a PDF, in words: the file as a whole, its pages, their content. */
import type { Problem } from '../facts/reading.ts'

/** What reading one page gave, as far as problems need it. */
export interface PageState {
  number: number
  failed?: boolean
  words: number
  /** Images on the page, and paths or small inline images drawn on it. */
  pictures: number
  drawings: number
  /** Glyphs other than spaces, and those of them that the file gives no letter for. */
  glyphs: number
  nameless: number
  overfull: boolean
  /** What pdfjs said while it read the page. */
  warnings: string[]
}

function ascii(bytes: Uint8Array): string {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('latin1')
}

/** Does the file end before its end: no end-of-file marker, or shorter than a linearised file says (Annex F)? */
export function truncation(bytes: Uint8Array): Problem | null {
  const head = ascii(bytes.subarray(0, 1024))
  if (!head.includes('%PDF-')) return null
  const stated = /\/Linearized\b[^>]*?\/L\s+(\d+)/.exec(head)?.[1]
  if (stated !== undefined && Number(stated) > bytes.length) {
    return {
      code: 'truncated',
      message: `The file says it is ${stated} bytes long but has ${bytes.length}: its end is missing. Save or send it again.`,
    }
  }
  // ISO 32000-1, 7.5.5: `%%EOF` is the last line. What follows the last one is either the beginning of another
  // revision, or no part of the file (padding, the remains of a transfer).
  const all = ascii(bytes)
  const last = all.lastIndexOf('%%EOF')
  if (last >= 0 && !/\d+\s+\d+\s+obj\b|\bxref\b/.test(all.slice(last))) return null
  return {
    code: 'truncated',
    message: 'The file has no end-of-file mark: its end is missing. Save or send it again.',
  }
}

/** For a document that could not be opened. */
export function describeFailure(error: unknown, bytes: Uint8Array, truncated: boolean): Problem[] {
  const name = error instanceof Error ? error.name : ''
  if (name === 'PasswordException') {
    return [
      {
        code: 'encrypted',
        message: 'The file is locked with a password. Save a copy without one and put that in the packet.',
      },
    ]
  }
  if (truncated) return []
  if (!ascii(bytes.subarray(0, 1024)).includes('%PDF-')) {
    return [{ code: 'damaged', message: 'The file does not begin as a PDF does. Save it again from its source.' }]
  }
  const detail = error instanceof Error ? error.message : String(error)
  return [{ code: 'damaged', message: `The file cannot be opened (${detail}). Save it again from its source.` }]
}

/** `Page 3`, `Pages 1-4, 7`. */
export function listPages(numbers: readonly number[]): string {
  const ranges: string[] = []
  for (let index = 0; index < numbers.length; ) {
    let last = index
    while (numbers[last + 1] === (numbers[last] ?? 0) + 1) last++
    ranges.push(last === index ? `${numbers[index]}` : `${numbers[index]}-${numbers[last]}`)
    index = last + 1
  }
  return `${numbers.length === 1 ? 'Page' : 'Pages'} ${ranges.join(', ')}`
}

/** What pdfjs says when content was lost, as against a font or border drawn in another way. */
const lost =
  /ignoring|skipping|FormatError|unable to|unexpected|invalid|bad |not found|not supported|missing|too large|circular|error|corrupt|end of|unterminated|without finding/i
const harmless =
  /font|glyph|cmap|TT:|charstring|border|colou?r|toUnicode|encoding:|structTree|annotation|MediaBox|CropBox/i

const listOf = (states: readonly PageState[]): string => listPages(states.map(({ number }) => number))

function tellsOfLoss(said: string): boolean {
  return lost.test(said) && !harmless.test(said)
}

/** On a page without words any warning may be the reason; notes ("Info:") only where they tell of loss. */
function lossOn(state: PageState): string | undefined {
  return state.warnings.find((said) => tellsOfLoss(said) || (state.words === 0 && !said.startsWith('Info:')))
}

/** What pdfjs said on opening a document whose objects or pages it had to search for. */
export function structureProblems(warnings: readonly string[]): Problem[] {
  const why = warnings.find((said) => /Indexing all PDF objects|checkLastPage|getAllPageDicts/.test(said))
  if (why === undefined) return []
  return [
    {
      code: 'repaired',
      message: 'The file does not say rightly where its parts are; they were searched for and some may be missing.',
    },
  ]
}

/**
 * Fonts without a table of letters give glyph numbers for text: readable at a glance and wrong. Their spaces come out as
 * controls, so one glyph in ten without a letter is enough to doubt the rest; symbols among words stay below that.
 */
function isUnreadable({ glyphs, nameless }: PageState): boolean {
  return nameless > 0 && (nameless === glyphs || (glyphs >= 20 && nameless >= glyphs / 10))
}

/** Problems of the pages of a document that opened. A page without words is never silently an empty page. */
export function pageProblems(states: readonly PageState[]): Problem[] {
  const problems: Problem[] = []
  const failed = states.filter((state) => state.failed)
  const read = states.filter((state) => !state.failed)
  const wordless = read.filter((state) => state.words === 0)
  const damaged = read.filter((state) => lossOn(state) !== undefined)
  const unreadable = read.filter(isUnreadable)
  const wanting = wordless.filter((state) => lossOn(state) === undefined && !isUnreadable(state))
  const drawn = wanting.filter((state) => state.pictures + state.drawings > 0)
  const blank = wanting.filter((state) => state.pictures + state.drawings === 0)
  if (states.length === 0) {
    problems.push({ code: 'damaged', message: 'The file has no pages. Save it again from its source.' })
  }
  if (failed.length > 0) {
    const why = failed[0]?.warnings.at(-1) ?? 'no reason given'
    problems.push({ code: 'damaged', message: `${listOf(failed)} could not be read (${why}).` })
  }
  if (damaged.length > 0) {
    const why = (damaged[0] && lossOn(damaged[0])) ?? ''
    problems.push({
      code: 'damaged-content',
      message: `${listOf(damaged)}: the content is damaged and words may be missing (${why}).`,
    })
  }
  if (unreadable.length > 0) {
    problems.push({
      code: 'unreadable-text',
      message: `${listOf(unreadable)}: the fonts do not say which letters they draw; words read there may be wrong.`,
    })
  }
  const overfull = read.filter((state) => state.overfull)
  if (overfull.length > 0) {
    problems.push({
      code: 'too-many-words',
      message: `${listOf(overfull)}: more text than a page can hold; cut short.`,
    })
  }
  if (read.length > 0 && wordless.length === read.length && drawn.length > 0) {
    problems.push({
      code: 'no-text-layer',
      message: `${listOf(drawn)}: a picture without text, such as a scan. Nothing on it was read.`,
    })
  } else if (drawn.length > 0) {
    problems.push({
      code: 'page-without-text',
      message: `${listOf(drawn)}: a picture without text, such as a scan. Nothing on it was read.`,
    })
  }
  if (blank.length > 0) {
    const all = blank.length === states.length
    problems.push({ code: all ? 'blank' : 'blank-page', message: `${listOf(blank)}: nothing to read was found there.` })
  }
  return problems
}

/** PDF (ISO 32000-1): words with their boxes, information, page count. */
import type { Box, Page, Problem, Reading } from '../facts/reading.ts'
import { contradictedBy } from './letter-shapes.ts'
import { watchForBars } from './pdf-bars.ts'
import { wordsOfAnnotations } from './pdf-fields.ts'
import {
  type FontObject,
  type Glyph,
  type Matrix,
  multiply,
  type Onlookers,
  type Operators,
  placeGlyphs,
} from './pdf-glyphs.ts'
import { informationFrom } from './pdf-information.ts'
import { followInk } from './pdf-ink.ts'
import {
  isPictureWarning,
  openDocument,
  type PdfDocument,
  type PdfPage,
  type Warnings,
  withPdfjs,
} from './pdf-library.ts'
import { describeFailure, type PageState, pageProblems, structureProblems, truncation } from './pdf-problems.ts'
import { tellWordsApart } from './pdf-unseen.ts'

export interface PdfLimits {
  pages: number
  /** Of the whole document. */
  words: number
}

const limits: PdfLimits = { pages: 500, words: 500_000 }
/** So many glyphs fit on no page that anyone prints. */
const mostGlyphs = 200_000
/** A page number, a fax line or a stamp beside a picture of a page: a page of words has more. */
const fewWords = 12
/** A page tree that lies about its count fails page after page. */
const mostFailures = 20

/** Characters that stand for no letter: controls, the private use area, the replacement character. */
const nameless = /[\u0000-\u0008\u000E-\u001F\u007F-\u009F\uE000-\uF8FF\uFFFD]/

/** The turn that makes most glyphs upright: 0, 90, 180 or 270 degrees clockwise. */
function turnOf(glyphs: readonly Glyph[]): 0 | 90 | 180 | 270 {
  let right = 0
  let down = 0
  let left = 0
  let up = 0
  for (const { alongX, alongY, space } of glyphs) {
    if (space) continue
    if (alongX > 0.94) right++
    else if (alongX < -0.94) left++
    else if (alongY > 0.94) down++
    else if (alongY < -0.94) up++
  }
  const most = (right + down + left + up) / 2
  return up > most ? 90 : left > most ? 180 : down > most ? 270 : 0
}

/** Takes points of a page of `width` by `height` to the page turned clockwise. */
function turned(turn: 0 | 90 | 180 | 270, width: number, height: number): Matrix {
  if (turn === 90) return [0, 1, -1, 0, height, 0]
  if (turn === 180) return [-1, 0, 0, -1, width, height]
  if (turn === 270) return [0, -1, 1, 0, 0, width]
  return [1, 0, 0, 1, 0, 0]
}

interface FontObjects {
  has(name: string): boolean
  get(name: string, then?: (font: unknown) => void): unknown
}

/** Waits for a font to be handed over, but not for ever: words without one are still read, with boxes of no width. */
async function arrival(objects: FontObjects, name: string): Promise<unknown> {
  const { promise, resolve } = Promise.withResolvers<unknown>()
  const timer = setTimeout(resolve, 1000, null)
  objects.get(name, resolve)
  const font = await promise
  clearTimeout(timer)
  return font
}

/** The font objects that a list of operators uses; pdfjs may still be handing them over. */
async function fontsOf(page: PdfPage, ops: Operators, fnArray: readonly number[], argsArray: readonly unknown[]) {
  const names = new Set<string>()
  fnArray.forEach((fn, index) => {
    const args = argsArray[index] as unknown[] | null
    if (fn === ops.setFont) names.add(String(args?.[0]))
    else if (fn === ops.setGState) {
      for (const [key, value] of (args?.[0] ?? []) as [string, unknown][]) {
        if (key === 'Font' && Array.isArray(value)) names.add(String(value[0]))
      }
    }
  })
  const objects = page.commonObjs as FontObjects
  const fonts = new Map<string, FontObject>()
  for (const name of names) {
    const font = objects.has(name) ? objects.get(name) : await arrival(objects, name)
    if (font !== null && typeof font === 'object') fonts.set(name, font as FontObject)
  }
  return fonts
}

function boxOf(rect: readonly number[], base: Matrix): Box {
  const [a, b, c, d, e, f] = base
  const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = rect
  const xs = [a * x0 + c * y0 + e, a * x1 + c * y1 + e]
  const ys = [b * x0 + d * y0 + f, b * x1 + d * y1 + f]
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)]
}

/** Says which letter a glyph draws against its name, each outline looked at once a document. */
function outlineReader(objects: FontObjects): NonNullable<Onlookers['drawnBy']> {
  const known = outlinesRead.get(objects) ?? new Map<string, string | null>()
  outlinesRead.set(objects, known)
  return (font, outline, text) => {
    if (!/^[0-9A-Z]$/.test(text)) return null
    const key = `${font}_path_${outline}`
    const before = known.get(`${key} ${text}`)
    if (before !== undefined) return before
    const path = objects.has(key) ? (objects.get(key) as { path?: ArrayLike<number> } | null)?.path : undefined
    const drawn = path ? contradictedBy(text, path) : null
    known.set(`${key} ${text}`, drawn)
    return drawn
  }
}

const outlinesRead = new WeakMap<FontObjects, Map<string, string | null>>()

/** What a page draws, and its glyphs placed by a matrix that takes its user space to points from the top left. */
async function openGlyphs(page: PdfPage, ops: Operators) {
  const { fnArray, argsArray } = await page.getOperatorList()
  const fonts = await fontsOf(page, ops, fnArray, argsArray)
  const drawnBy = outlineReader(page.commonObjs as FontObjects)
  const place = (base: Matrix, onlookers: Pick<Onlookers, 'tracker' | 'bars'> = {}) =>
    placeGlyphs(ops, fnArray, argsArray, base, (name) => fonts.get(name) ?? null, mostGlyphs, {
      drawnBy,
      ...onlookers,
    })
  return { fnArray, place }
}

const uprightMatrix = (page: PdfPage): Matrix => page.getViewport({ scale: 1 }).transform as unknown as Matrix

/** How far a page is turned, beyond its own /Rotate, before its words are read: degrees clockwise. */
export async function findTurn(page: PdfPage, ops: Operators): Promise<0 | 90 | 180 | 270> {
  const { place } = await openGlyphs(page, ops)
  return turnOf(place(uprightMatrix(page)))
}

/** Says of a layer whether it is shown, on the screen or in print. */
type IsShown = (layer: unknown) => boolean

async function layersOf(document: PdfDocument): Promise<IsShown> {
  const intents = ['display', 'print'] as const
  const settings = await Promise.all(
    intents.map((intent) => document.getOptionalContentConfig({ intent }).catch(() => null)),
  )
  return (layer) => settings.some((setting) => setting === null || setting.isVisible(layer as never))
}

async function readPage(
  page: PdfPage,
  ops: Operators,
  warnings: Warnings,
  isShown: IsShown,
): Promise<{ page: Page; state: PageState }> {
  let { width, height } = page.getViewport({ scale: 1 })
  let base = uprightMatrix(page)
  const { fnArray, place } = await openGlyphs(page, ops)
  const watch = () => ({ tracker: followInk(ops, isShown), bars: watchForBars(ops) })
  let onlookers = watch()
  let glyphs = place(base, onlookers)
  const turn = turnOf(glyphs)
  if (turn !== 0) {
    base = multiply(base, turned(turn, width, height))
    if (turn !== 180) [width, height] = [height, width]
    onlookers = watch()
    glyphs = place(base, onlookers)
  }
  const annotations = await page.getAnnotations()
  const said = warnings.take()
  const pictures = said.filter(isPictureWarning).length
  const paints = onlookers.tracker.paints()
  const { words, unseen } = tellWordsApart(glyphs, { width, height, paints, pictures })
  words.push(...wordsOfAnnotations(annotations, words, (rect) => boxOf(rect, base)))
  const drawing = [ops.constructPath, ops.shadingFill, ops.paintInlineImageXObject, ops.paintSolidColorImageMask]
  const drawings = fnArray.filter((fn) => drawing.some((op) => op === fn)).length
  const pictured = words.length === 0 ? pictures + drawings > 0 : pictures > 0 && words.length <= fewWords
  return {
    page: {
      number: page.pageNumber,
      width,
      height,
      unit: 'pt',
      words,
      ...(unseen.length > 0 ? { unseen } : {}),
      ...(pictured ? { pictured } : onlookers.bars.found(paints) ? { barred: true as const } : {}),
    },
    state: {
      number: page.pageNumber,
      words: words.length,
      pictures,
      drawings,
      glyphs: glyphs.filter((glyph) => !glyph.space).length,
      nameless: glyphs.filter((glyph) => nameless.test(glyph.text)).length,
      overfull: glyphs.length > mostGlyphs,
      warnings: said.filter((warning) => !isPictureWarning(warning)),
    },
  }
}

async function readPages(document: PdfDocument, ops: Operators, warnings: Warnings, most: PdfLimits) {
  const pages: Page[] = []
  const states: PageState[] = []
  const problems: Problem[] = []
  let words = 0
  let failures = 0
  const isShown = await layersOf(document)
  for (let number = 1; number <= Math.min(document.numPages, most.pages); number++) {
    try {
      const page = await document.getPage(number)
      const read = await readPage(page, ops, warnings, isShown)
      page.cleanup()
      pages.push(read.page)
      states.push(read.state)
      words += read.page.words.length
    } catch (error) {
      const said = [...warnings.take(), error instanceof Error ? error.message : String(error)]
      states.push({
        number,
        failed: true,
        words: 0,
        pictures: 0,
        drawings: 0,
        glyphs: 0,
        nameless: 0,
        overfull: false,
        warnings: said,
      })
      if (++failures >= mostFailures) break
    }
    if (words > most.words) {
      problems.push({
        code: 'too-many-words',
        message: `The file holds more than ${most.words} words. Pages after page ${number} were not read.`,
      })
      break
    }
  }
  if (document.numPages > most.pages) {
    problems.push({
      code: 'too-many-pages',
      message: `The file has ${document.numPages} pages; only the first ${most.pages} were read.`,
    })
  }
  return { pages, problems: [...pageProblems(states), ...problems] }
}

/**
 * Reads a PDF. Boxes are in points from the top left of the page's visible area (its crop box) after /Rotate; a page
 * whose text mostly runs in another direction is turned until it reads upright. Words that do not run upright on their
 * page come last and are marked `turned`. Words come in the order they are drawn.
 *
 * Never throws for what the bytes hold. Problems: `empty`, `encrypted`, `damaged`, `truncated`, `damaged-content`,
 * `repaired`, `no-text-layer`, `page-without-text`, `blank`, `blank-page`, `unreadable-text`,
 * `too-many-pages`, `too-many-words`.
 */
export async function readPdf(
  bytes: Uint8Array,
  hint: { path: string; media: string },
  most: Partial<PdfLimits> = {},
): Promise<Reading> {
  const reading: Reading = { media: hint.media || 'application/pdf', pages: [], problems: [] }
  if (bytes.length === 0) {
    reading.problems.push({ code: 'empty', message: 'The file is empty. Save it again from the instrument.' })
    return reading
  }
  const cut = truncation(bytes)
  if (cut) reading.problems.push(cut)
  return withPdfjs(async (pdfjs, warnings) => {
    const task = openDocument(pdfjs, bytes)
    try {
      const document = await task.promise
      reading.pageCount = document.numPages
      const metadata = await document.getMetadata().catch(() => null)
      reading.information = informationFrom(metadata?.info, metadata?.metadata?.getRaw())
      reading.problems.push(...structureProblems(warnings.take()))
      const read = await readPages(document, pdfjs.OPS, warnings, { ...limits, ...most })
      reading.pages = read.pages
      reading.problems.push(...read.problems)
    } catch (error) {
      reading.problems.push(...describeFailure(error, bytes, cut !== null))
    } finally {
      await task.destroy().catch(() => undefined)
    }
    return reading
  })
}

/**
 * Which glyphs of a page nobody sees, and why. A glyph counts as unseen only where all of its middle is: what is half
 * covered, of a colour near its ground, or on a ground that is not known (a picture, a pattern, a soft mask) is seen.
 */
import type { Box, Unseen, UnseenWord, Word } from '../facts/reading.ts'
import type { Glyph } from './pdf-glyphs.ts'
import type { Colour, Ink, Paint } from './pdf-ink.ts'
import { contains, type Point, type Shape } from './pdf-shapes.ts'
import { type PlacedWord, wordsFromGlyphs } from './pdf-words.ts'

/** Levels of 256 between two colours that nobody tells apart. */
const sameLevels = 6
/** Less than this opacity leaves no trace. */
const leastAlpha = 0.02
/** In points, of an em: smaller print is a grey line. Common practice, no source. */
const leastSize = 1.5
/** Of the page: a picture as large as this is the page, and text on it its words. */
const wholePage = 0.5

const white: Colour = [255, 255, 255]

/** The middle of a glyph and the corners round it. */
function middleOf({ x0, y0, x1, y1 }: Glyph): Point[] {
  const [width, height] = [x1 - x0, y1 - y0]
  const at = (x: number, y: number): Point => [x0 + x * width, y0 + y * height]
  return [at(0.5, 0.5), at(0.2, 0.25), at(0.8, 0.25), at(0.2, 0.75), at(0.8, 0.75)]
}

/** The usual case, for speed. */
const surrounds = ({ isBox, box }: Shape, { x0, y0, x1, y1 }: Glyph): boolean =>
  isBox && x0 >= box[0] && y0 >= box[1] && x1 <= box[2] && y1 <= box[3]

const touches = ({ x0, y0, x1, y1 }: Glyph, { shape: { box } }: Paint): boolean =>
  x1 > box[0] && x0 < box[2] && y1 > box[1] && y0 < box[3]

function coverage(paint: Paint, points: readonly Point[]): 'all' | 'some' | 'none' {
  const inside = points.filter(
    (point) => contains(paint.shape, point) && paint.clips.every((clip) => contains(clip, point)),
  )
  return inside.length === points.length ? 'all' : inside.length > 0 ? 'some' : 'none'
}

const isSame = (one: Colour, other: Colour): boolean =>
  one !== null && other !== null && one.every((level, at) => Math.abs(level - (other[at] ?? 0)) <= sameLevels)

/** The colours that a glyph is drawn with; null where one is not known. */
function coloursOf({ mode, fill, stroke, fillAlpha, strokeAlpha }: Ink): Colour[] {
  const kind = mode % 4
  const filled = (kind === 0 || kind === 2) && fillAlpha >= leastAlpha
  const stroked = (kind === 1 || kind === 2) && strokeAlpha >= leastAlpha
  return [...(filled ? [fill] : []), ...(stroked ? [stroke] : [])]
}

/** What is beneath: its colour, or null where that is not known. */
function groundOf(glyph: Glyph, points: readonly Point[], paints: readonly Paint[]): Colour {
  for (const paint of paints.toReversed()) {
    if (paint.order > glyph.order || !touches(glyph, paint)) continue
    const covered = coverage(paint, points)
    if (covered === 'none') continue
    return covered === 'all' && paint.solid ? paint.colour : null
  }
  return white
}

export interface Ground {
  width: number
  height: number
  /** Null where there were too many to follow. */
  paints: readonly Paint[] | null
  /** Pictures that the page has, though their places be unknown. */
  pictures: number
}

/** Why a glyph cannot be seen; `since`: the operator that covered it. */
interface Fate {
  why: Unseen
  since?: number
}

/** Null for what is seen. `layer`: the glyph is of the text of a picture that shows it. */
function fateOf(glyph: Glyph, ground: Ground): Fate | null {
  const { ink } = glyph
  if (ink === undefined) return null
  if (ink.off) return { why: 'switched-off' }
  const points = middleOf(glyph)
  if (ink.mode === 3 || (ink.mode === 7 && !ink.filled))
    return { why: isOnPicture(points, ground) ? 'layer' : 'invisible' }
  if (ink.clips.some((clip) => !surrounds(clip, glyph) && !points.some((point) => contains(clip, point))))
    return { why: 'clipped' }
  // The glyphs of a Type 3 font bring colours of their own.
  if (glyph.ownColours || ink.blended || ink.mode === 7) return null
  const colours = coloursOf(ink)
  if (colours.length === 0) return { why: 'transparent' }
  return coverOf(glyph, points, ground) ?? fateByLook(glyph, points, colours, ground)
}

/** Where pictures are whose places are not known, any text may stand on one. */
function isOnPicture(points: readonly Point[], { pictures, paints }: Ground): boolean {
  if (pictures === 0) return false
  const placed = paints?.filter(({ picture }) => picture) ?? []
  return placed.length === 0 || placed.some((paint) => coverage(paint, points) === 'all')
}

/** What is painted over a glyph: an area of one colour, or a picture of the whole page. */
function coverOf(glyph: Glyph, points: readonly Point[], { paints, pictures, width, height }: Ground): Fate | null {
  const later = (paints ?? []).filter((paint) => paint.order > glyph.order && touches(glyph, paint))
  const cover = later.find((paint) => paint.solid && coverage(paint, points) === 'all')
  if (cover) return { why: 'covered', since: cover.order }
  const isPage = ({ picture, shape: { box } }: Paint) =>
    picture && (box[2] - box[0]) * (box[3] - box[1]) >= wholePage * width * height
  const isUnderPage = pictures > 0 && later.some((paint) => isPage(paint) && coverage(paint, points) === 'all')
  return isUnderPage ? { why: 'layer' } : null
}

function fateByLook(glyph: Glyph, points: readonly Point[], colours: Colour[], ground: Ground): Fate | null {
  if (glyph.size < leastSize) return { why: 'tiny' }
  if (ground.paints === null) return null
  const known = ground.pictures === 0 ? ground.paints.filter(({ picture }) => !picture) : ground.paints
  const beneath = groundOf(glyph, points, known)
  return beneath !== null && colours.every((colour) => isSame(colour, beneath)) ? { why: 'same-colour' } : null
}

type Reason = UnseenWord['why']

/**
 * The words of a page, and those that it does not show. What a clip cuts off of a word, or of a line that goes on from
 * what is shown, is no secret: the words of a narrow cell are read to their end.
 */
export function tellWordsApart(glyphs: readonly Glyph[], ground: Ground): { words: Word[]; unseen: UnseenWord[] } {
  const fates = new Map<Glyph, Fate>()
  for (const glyph of glyphs) {
    const fate = glyph.space ? null : fateOf(glyph, ground)
    if (fate) fates.set(glyph, fate)
  }
  const isCut = (glyph: Glyph) => fates.get(glyph)?.why === 'clipped'
  const groups = Map.groupBy(glyphs, (glyph) => (isCut(glyph) ? null : (fates.get(glyph)?.why ?? null)))
  const shown = wordsFromGlyphs(groups.get(null) ?? [], isCut)
  const cut = withoutOverflow(shown)
  const isOff = ({ word }: { word: Word }) => isOutside(word.box, ground)
  const words = shown
    .filter((part) => !isOff(part) && !cut.has(part.word) && part.drawn === null)
    .map(({ word }) => word)
  const unseen: UnseenWord[] = shown.flatMap((part): UnseenWord[] => {
    if (isOff(part)) return [{ ...part.word, why: 'off-page' as const }]
    if (cut.has(part.word)) return [{ ...part.word, why: 'clipped' as const }]
    return part.drawn === null ? [] : [otherLetters(part.word, part.drawn)]
  })
  for (const [why, group] of groups) {
    if (why === null) continue
    const found = wordsFromGlyphs(group).map(({ word }) => word)
    const inside = found.filter(({ box }) => !isOutside(box, ground))
    if (why === 'layer') words.push(...inside.map((word): Word => ({ ...word, layer: true })))
    else unseen.push(...inside.map((word): UnseenWord => ({ ...word, why: why as Reason })))
  }
  // Marks that stand for no letter, such as anchors of links, say nothing.
  const telling = unseen.filter(({ text }) => /[\p{L}\p{N}]/u.test(text))
  const hidden = telling.filter((word) => !words.some((other) => isCopy(word, other)))
  return { words, unseen: hidden.map((word) => addReplacement(word, words, glyphs, fates)) }
}

/** Its text is not what is seen; what is seen is told, but no fact rests on it, as not every letter was recognised. */
const otherLetters = (word: Word, drawn: string): UnseenWord => ({
  ...word,
  why: 'other-letters',
  replaced: { beneath: word.text, above: drawn },
})

const isOutside = ([x0, y0, x1, y1]: Box, { width, height }: Ground): boolean =>
  x1 <= 0 || y1 <= 0 || x0 >= width || y0 >= height

/** Shadows and what is drawn again above a stripe: the same word is seen at its place. */
function isCopy(word: Word, other: Word): boolean {
  const near = Math.max(1.5, 0.3 * word.size)
  return word.text === other.text && [0, 1].every((at) => Math.abs((word.box[at] ?? 0) - (other.box[at] ?? 0)) <= near)
}

/** Of words of which a clip leaves nothing, those that do not go on from a word that is seen. */
function withoutOverflow(parts: readonly PlacedWord[]): Set<Word> {
  const cut = new Set(parts.filter(({ hidden }) => hidden).map(({ word }) => word))
  if (cut.size === 0) return cut
  const seen = parts.filter(({ hidden }) => !hidden).map(({ word }) => word)
  for (let grown = true; grown; ) {
    grown = false
    for (const word of cut) {
      if (!seen.some((other) => goesOn(word, other))) continue
      cut.delete(word)
      seen.push(word)
      grown = true
    }
  }
  return cut
}

function goesOn(word: Word, other: Word): boolean {
  const em = Math.max(word.size, other.size)
  const gap = Math.max(word.box[0] - other.box[2], other.box[0] - word.box[2])
  const apart = Math.abs(word.box[1] + word.box[3] - other.box[1] - other.box[3]) / 2
  return gap < 1.5 * em && apart < 0.3 * em
}

/** Adds to an unseen word what is seen in its place, if anything is. */
function addReplacement(
  word: UnseenWord,
  words: readonly Word[],
  glyphs: readonly Glyph[],
  fates: ReadonlyMap<Glyph, Fate>,
): UnseenWord {
  if (['off-page', 'switched-off', 'other-letters'].includes(word.why)) return word
  const before = word.why === 'covered' ? wordBefore(word, glyphs, fates) : word
  const above = words.filter((other) => other.layer !== true && overlaps(before.box, other.box))
  if (!above.some((other) => overlaps(word.box, other.box))) return word
  const text = above
    .toSorted((one, other) => one.box[0] - other.box[0])
    .map((other, at, all) => {
      const last = all[at - 1]
      return last && other.box[0] - last.box[2] > 0.15 * other.size ? ` ${other.text}` : other.text
    })
    .join('')
  return text === before.text ? word : { ...word, replaced: { beneath: before.text, above: text } }
}

/** The whole word that a covered part belonged to, as the page showed it until then. */
function wordBefore(word: UnseenWord, glyphs: readonly Glyph[], fates: ReadonlyMap<Glyph, Fate>): Word {
  const inside = glyphs.filter((glyph) => fates.get(glyph)?.why === 'covered' && overlaps(word.box, boxOf(glyph)))
  const since = Math.min(...inside.map((glyph) => fates.get(glyph)?.since ?? Infinity))
  const shown = glyphs.filter((glyph) => {
    const fate = fates.get(glyph)
    return glyph.order < since && (fate === undefined || (fate.why === 'covered' && (fate.since ?? 0) >= since))
  })
  const whole = wordsFromGlyphs(shown).find((part) => overlaps(part.word.box, word.box))
  return whole?.word.text.includes(word.text) ? whole.word : word
}

const boxOf = ({ x0, y0, x1, y1 }: Glyph): Box => [x0, y0, x1, y1]

/** Shares at least this much of the smaller one. */
const leastShared = 0.4

function overlaps(one: Box, other: Box): boolean {
  const [width, height] = [0, 1].map((at) =>
    Math.max(0, Math.min(one[at + 2] ?? 0, other[at + 2] ?? 0) - Math.max(one[at] ?? 0, other[at] ?? 0)),
  )
  const area = ([x0, y0, x1, y1]: Box) => (x1 - x0) * (y1 - y0)
  return (width ?? 0) * (height ?? 0) >= leastShared * Math.min(area(one), area(other))
}

/**
 * From placed glyphs to words. Producers split words into runs, place single glyphs, kern instead of typing spaces and
 * type spaces that nobody sees, so a word ends where the gap says so, not where a run or a space character does.
 */
import type { Word } from '../facts/reading.ts'
import { familyOf, mixedFamilies } from './font-families.ts'
import { appendFragment, type Fragment, joinFragments } from './pdf-fragments.ts'
import type { Glyph } from './pdf-glyphs.ts'
import { joinSpacedLetters } from './pdf-letters.ts'

/** Gaps in ems. pdftotext breaks words at 0.1; 0.12 leaves room for wide kerning. Common practice, no source. */
const wordGap = 0.12
/** With a space character in between, any visible gap parts two words. */
const spacedGap = 0.03
const overlap = -0.3
/** Overprinting (fake bold) shifts by less than a point. */
const overprint = 1

const ligature = /[\uFB00-\uFB06]/g
/** Glyphs without a Unicode value come as controls. */
const unwritten = /[\u0000-\u001F\u007F-\u009F\u200B-\u200F\u2028-\u202E\u2060-\u2064\uFEFF]/g

function lettersOf(text: string): string {
  if (/^[\u0021-\u007E]+$/.test(text)) return text
  return text
    .replace(ligature, (found) => found.normalize('NFKC'))
    .replaceAll('\u00AD', '-')
    .replace(unwritten, '')
    .replace(/\s+/gu, '')
}

function along(glyph: Glyph, x: number, y: number): number {
  return x * glyph.alongX + y * glyph.alongY
}

function across(glyph: Glyph): number {
  return glyph.startY * glyph.alongX - glyph.startX * glyph.alongY
}

function begin(glyph: Glyph, text: string, spaceBefore: boolean, isCut: boolean): Fragment {
  return {
    text,
    drawn: glyph.drawn ?? text,
    x0: glyph.x0,
    y0: glyph.y0,
    x1: glyph.x1,
    y1: glyph.y1,
    alongX: glyph.alongX,
    alongY: glyph.alongY,
    start: along(glyph, glyph.startX, glyph.startY),
    end: along(glyph, glyph.endX, glyph.endY),
    across: across(glyph),
    size: glyph.size,
    boldGlyphs: glyph.bold ? 1 : 0,
    glyphs: 1,
    cutGlyphs: isCut ? 1 : 0,
    font: glyph.face.name,
    runs: [{ text, family: familyOf(glyph.face.name) }],
    spaceBefore,
    spaceAfter: false,
    last: glyph,
  }
}

function continues(fragment: Fragment, glyph: Glyph, narrowSpace: boolean): boolean {
  const last = fragment.last
  if (fragment.alongX * glyph.alongX + fragment.alongY * glyph.alongY < 0.999) return false
  const em = Math.max(last.size, glyph.size)
  if (Math.min(last.size, glyph.size) < 0.45 * em) return false
  const level = glyph.startY * fragment.alongX - glyph.startX * fragment.alongY
  if (Math.abs(level - fragment.across) > 0.35 * em) return false
  const gap = along(last, glyph.startX, glyph.startY) - fragment.end
  if (fragment.spaceAfter) return !narrowSpace && gap < spacedGap * em && gap > overlap * em
  // A wide Tc is no reason to join: some producers write ", i" as ",i" with the space in Tc.
  return gap > overlap * em && gap < wordGap * em
}

/** Does `next` begin about where `glyph` ends? A space drawn elsewhere says nothing about a word. */
function touches(glyph: Glyph, next: Glyph): boolean {
  const em = Math.max(glyph.size, next.size)
  const gap = along(glyph, next.startX - glyph.endX, next.startY - glyph.endY) - Math.max(glyph.spacing, 0)
  return Math.abs(gap) < 0.6 * em && Math.abs(across(next) - across(glyph)) < 0.5 * em
}

function sameGlyph(last: Glyph, glyph: Glyph): boolean {
  const near = Math.min(overprint, 0.15 * glyph.size)
  return (
    last.text === glyph.text &&
    Math.abs(last.startX - glyph.startX) < near &&
    Math.abs(last.startY - glyph.startY) < near
  )
}

/** Dots, underscores and dashes that fill a line part words and are none themselves. */
const fill = /^[._\-\u2010-\u2015\u2022\u00B7\u2026]$/

function collect(glyphs: readonly Glyph[], isCut: (glyph: Glyph) => boolean): Fragment[] {
  const fragments: Fragment[] = []
  let current: Fragment | null = null
  let space: Glyph | null = null
  let narrowSpace = false
  for (let index = 0; index < glyphs.length; index++) {
    const glyph = glyphs[index]
    if (!glyph) continue
    const text = glyph.space ? '' : lettersOf(glyph.text)
    if (text === '') {
      if (glyph.text !== '' && glyph.text.trim() === '') {
        if (current && touches(current.last, glyph)) current.spaceAfter = true
        space = glyph
        narrowSpace = Math.hypot(glyph.endX - glyph.startX, glyph.endY - glyph.startY) < 0.05 * glyph.size
      }
      continue
    }
    if (current && sameGlyph(current.last, glyph)) {
      current.boldGlyphs++
      continue
    }
    if (fill.test(text)) {
      const length = fillLength(glyphs, index)
      if (length >= 3) {
        if (current) current.spaceAfter = true
        space = glyphs[index + length - 1] ?? null
        current = null
        index += length - 1
        continue
      }
    }
    const next = begin(glyph, text, space !== null && touches(space, glyph), isCut(glyph))
    if (current && continues(current, glyph, narrowSpace)) appendFragment(current, next)
    else {
      current = next
      fragments.push(current)
    }
    space = null
  }
  return fragments
}

/** Number of glyphs from `index` on that repeat the fill character on one line; spaces between them count. */
function fillLength(glyphs: readonly Glyph[], index: number): number {
  const first = glyphs[index]
  if (!first) return 0
  let dots = 0
  let length = 0
  let end = first.startX * first.alongX + first.startY * first.alongY
  for (let at = index; at < glyphs.length; at++) {
    const glyph = glyphs[at]
    if (!glyph) break
    if (!glyph.space) {
      const start = along(first, glyph.startX, glyph.startY)
      const off = glyph.startY * first.alongX - glyph.startX * first.alongY - across(first)
      if (glyph.text !== first.text || start - end > 1.5 * first.size || start < end - 0.5 * first.size) break
      if (Math.abs(off) > 0.2 * first.size) break
      dots++
      length = at - index + 1
      end = along(first, glyph.endX, glyph.endY)
    }
  }
  return dots >= 3 ? length : 0
}

/** Joins fragments that touch on one baseline though they were not drawn one after the other. */
function joinTouching(fragments: readonly Fragment[]): Fragment[] {
  const lines = new Map<number, Fragment[]>()
  for (const fragment of fragments) {
    const level = Math.round(fragment.across)
    const line = lines.get(level)
    if (line) line.push(fragment)
    else lines.set(level, [fragment])
  }
  const followers = new Map<Fragment, Fragment>()
  const taken = new Set<Fragment>()
  for (const fragment of fragments) {
    if (fragment.spaceAfter) continue
    let best: Fragment | null = null
    let least = Number.POSITIVE_INFINITY
    for (const level of [-1, 0, 1]) {
      for (const other of lines.get(Math.round(fragment.across) + level) ?? []) {
        if (other === fragment || other.spaceBefore || taken.has(other)) continue
        const em = Math.max(fragment.size, other.size)
        const gap = Math.abs(other.start - fragment.end)
        if (gap > 0.1 * em || gap >= least || other.start <= fragment.start) continue
        if (Math.abs(other.across - fragment.across) > 0.1 * em) continue
        if (Math.min(fragment.size, other.size) < 0.75 * em) continue
        if (fragment.alongX * other.alongX + fragment.alongY * other.alongY < 0.999) continue
        best = other
        least = gap
      }
    }
    if (best) {
      followers.set(fragment, best)
      taken.add(best)
    }
  }
  if (followers.size === 0) return [...fragments]
  const joined: Fragment[] = []
  for (const fragment of fragments) {
    if (taken.has(fragment)) continue
    const chain: Fragment[] = []
    for (let at = followers.get(fragment); at; at = followers.get(at)) chain.push(at)
    joined.push(joinFragments(fragment, chain))
  }
  return joined
}

/** Keeps the first of words that stand on each other with the same text. */
function dropOverprinted(fragments: readonly Fragment[]): Fragment[] {
  const seen = new Map<string, Fragment[]>()
  return fragments.filter((fragment) => {
    const same = seen.get(fragment.text)
    if (!same) {
      seen.set(fragment.text, [fragment])
      return true
    }
    const near = Math.min(overprint, 0.25 * fragment.size)
    const first = same.find(
      (other) => Math.abs(other.x0 - fragment.x0) < near && Math.abs(other.y0 - fragment.y0) < near,
    )
    if (first) {
      first.boldGlyphs = Math.max(first.boldGlyphs, first.glyphs)
      return false
    }
    same.push(fragment)
    return true
  })
}

const hundredth = (value: number) => Math.round(value * 100) / 100

function wordOf(fragment: Fragment): Word {
  const ascii = /^[\u0021-\u007E]+$/.test(fragment.text)
  const word: Word = {
    text: ascii ? fragment.text : fragment.text.normalize('NFC'),
    box: [hundredth(fragment.x0), hundredth(fragment.y0), hundredth(fragment.x1), hundredth(fragment.y1)],
    size: hundredth(fragment.size),
  }
  if (fragment.boldGlyphs * 2 > fragment.glyphs) word.bold = true
  if (fragment.font !== '') word.font = fragment.font
  const families = mixedFamilies(fragment.runs)
  if (families !== null) word.families = families
  // 20 degrees: a page scanned askew is still upright, a stamp in the margin or across the page is not.
  if (fragment.alongX < Math.cos(Math.PI / 9)) word.turned = true
  return word
}

export interface PlacedWord {
  word: Word
  hidden: boolean
  drawn: string | null
}

/**
 * Words of one page in the order they are drawn, boxes in points from the top left; words that do not run upright come
 * last and are marked `turned`. `hidden`: `isCut` holds of each of its glyphs. `drawn`: what
 * its outlines show, where that is something else than its text.
 */
export function wordsFromGlyphs(
  glyphs: readonly Glyph[],
  isCut: (glyph: Glyph) => boolean = () => false,
): PlacedWord[] {
  const joined = dropOverprinted(joinSpacedLetters(joinTouching(dropOverprinted(collect(glyphs, isCut)))))
  const words = joined.map((part) => ({
    word: wordOf(part),
    hidden: part.cutGlyphs === part.glyphs,
    drawn: part.drawn === part.text ? null : part.drawn,
  }))
  return [...words.filter(({ word }) => !word.turned), ...words.filter(({ word }) => word.turned)]
}

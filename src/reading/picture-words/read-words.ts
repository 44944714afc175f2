/**
 * Words in a picture of a page: laid straight, lit evenly, brought to the size that the engine reads best, read, and
 * their places taken back to the picture as it is.
 */
import type { Box, Word } from '../../facts/reading.ts'
import type { Canvases, Raster } from '../pixels.ts'
import { clean } from './clean.ts'
import type { SeenPage } from './closer.ts'
import { recogniseWords, type SeenWord } from './engine.ts'
import { evenLight } from './even-light.ts'
import { cutRows, type Grey, invert, paintGrey, shrink } from './grey.ts'
import { findMarks, findScript, type Script } from './marks.ts'
import { findOutline } from './outline.ts'
import {
  chain,
  inverse,
  type Map3,
  mapBox,
  moved,
  ontoQuadrilateral,
  type Point,
  rotated,
  scaled,
  warp,
} from './projective.ts'
import { settleWords } from './settle.ts'
import { measureSlant } from './slant.ts'

/** To be raised when other words may come of the same picture. */
export const wordsVersion = 7

/** Longer side of the picture as it is taken up, and as it is surveyed, in pixels. */
const taken = 4400
const surveyed = 1700
/** Fewer marks like letters than that are no text. */
const leastLetters = 12
/** Height of a common letter as the engine gets it, in pixels. */
const wanted = 20
const mostScale = 4
const mostPixels = 9_000_000

export interface PictureWords {
  /** Boxes as the page would lie straight; `shown` as it is in the picture. In pixels of the picture. */
  words: Word[]
  /** Mean of the words' confidence by letters, 0 to 100; 0 where there are none. */
  confidence: number
}

const nothing: PictureWords = { words: [], confidence: 0 }

/** Reads the words of a picture. Throws where the engine fails; `prepareWords` first. */
export async function readWords(canvases: Canvases, image: Raster): Promise<PictureWords> {
  const { grey: base, scale: baseScale } = paintGrey(canvases, image, taken)
  const { ground, straight } = layStraight(base)
  const survey = surveyOf(ground)
  if (survey === null) return nothing
  const sight = planSight(survey, straight)
  const seen = await readUpright(base, sight)
  // A pixel of the working picture, in pixels of the picture as it came.
  const unit = 1 / (sight.scale * baseScale)
  const shownBy = chain(seen.map, scaled(1 / baseScale))
  const page: SeenPage = { base, ...seen, light: sight.light, size: sight.size }
  const settled = await settleWords(page)
  const words = seen.words.map((word, at) => ({ ...placeWord(word, unit, shownBy), ...settled[at] }))
  return { words, confidence: meanConfidence(seen.words) }
}

/** The picture with its page laid straight, where its outline shows, and the map from there to the picture. */
function layStraight(base: Grey): { ground: Grey; straight: Map3 } {
  const corners = findOutline(base)
  if (corners === null) return { ground: base, straight: moved(0, 0) }
  const [a, b, c, d] = corners as [Point, Point, Point, Point]
  const far = ([x, y]: Point, [u, v]: Point) => Math.hypot(x - u, y - v)
  const width = Math.round(Math.max(far(a, b), far(d, c)))
  const height = Math.round(Math.max(far(a, d), far(b, c)))
  const straight = ontoQuadrilateral(width, height, corners)
  return { ground: warp(base, straight, width, height), straight }
}

interface Survey extends Script {
  /** Of the surveyed picture to the one it was made from. */
  by: number
  light: boolean
}

/** Where letters are, dark or light; null where there are too few. */
function surveyOf(ground: Grey): Survey | null {
  const by = Math.max(1, Math.ceil(Math.max(ground.width, ground.height) / surveyed))
  const small = by === 1 ? ground : shrink(ground, by)
  const dark = findScript(findMarks(small))
  const light = dark.letters.length > 200 ? null : findScript(findMarks(invert(small)))
  const script = light && light.letters.length > 1.5 * dark.letters.length ? light : dark
  return script.letters.length < leastLetters ? null : { ...script, by, light: script === light }
}

/** From the picture to the one that is read. */
interface Sight {
  /** Takes the working picture, before any turn, to the picture. */
  map: Map3
  width: number
  height: number
  scale: number
  sideways: boolean
  /** Its words are lighter than their ground. */
  light: boolean
  /** Marks like letters. */
  letters: number
  /** Top of the rows where most of them stand. */
  strip: number
  /** Height of a common letter in the picture that is read. */
  size: number
}

function planSight(survey: Survey, straight: Map3): Sight {
  const { letters, size, by } = survey
  const sideways = survey.beneath > survey.beside
  const slant = measureSlant(letters, size, sideways)
  // From the ground to lines that run level: a quarter turn anticlockwise where they run up or down.
  const level = chain(rotated(sideways ? -90 : 0), rotated(-slant))
  const boxes = letters.map(({ x0, y0, x1, y1 }) => mapBox(level, [x0 * by, y0 * by, x1 * by, y1 * by]))
  const margin = 3 * size * by
  const [left, right] = spread(
    boxes.map(([x0]) => x0),
    boxes.map(([, , x1]) => x1),
  )
  const [top, bottom] = spread(
    boxes.map(([, y0]) => y0),
    boxes.map(([, , , y1]) => y1),
  )
  const [w, h] = [right - left + 2 * margin, bottom - top + 2 * margin]
  const scale = Math.min(mostScale, wanted / (size * by), Math.sqrt(mostPixels / (w * h)))
  const toWork = chain(level, moved(margin - left, margin - top), scaled(scale))
  return {
    map: chain(inverse(toWork), straight),
    width: Math.max(16, Math.round(w * scale)),
    height: Math.max(16, Math.round(h * scale)),
    scale,
    sideways,
    light: survey.light,
    letters: letters.length,
    strip: findStrip(boxes.map(([, y0, , y1]) => ((y0 + y1) / 2 + margin - top) * scale)),
    size: size * by * scale,
  }
}

/** Top of the strip that holds most of these heights. */
function findStrip(heights: readonly number[]): number {
  const sorted = [...heights].sort((a, b) => a - b)
  let [most, at, end] = [0, 0, 0]
  for (const [start, from] of sorted.entries()) {
    while (end < sorted.length && (sorted[end] ?? 0) < from + stripHeight - 60) end++
    if (end - start > most) [most, at] = [end - start, from - 30]
  }
  return Math.max(0, at)
}

const spread = (starts: readonly number[], ends: readonly number[]): [number, number] => [
  starts.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY),
  ends.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY),
]

interface Seen {
  words: SeenWord[]
  /** What was read. */
  work: Grey
  /** From there to the picture as it is. */
  map: Map3
}

/** Below this, the page may stand on its head. */
const doubtful = 70

/** Reads the picture; where it makes little sense, also upside down, and keeps what makes more. */
async function readUpright(base: Grey, sight: Sight): Promise<Seen> {
  const { width, height } = sight
  const turn = chain(rotated(180), moved(width, height))
  const ways = [sight.map, chain(turn, sight.map)]
  const works = ways.map((map) => () => {
    const work = warp(base, map, width, height)
    return clean(evenLight(sight.light ? invert(work) : work), sight.size)
  })
  const read = async (way: number): Promise<Seen> => {
    const work = (works[way] as () => Grey)()
    return { words: await recogniseWords(work), work, map: ways[way] as Map3 }
  }
  if (!sight.sideways) {
    if (sight.letters < fewLetters && !(await showsText(works, sight))) return { words: [], work: base, map: sight.map }
    const first = await read(0)
    if (meanConfidence(first.words) >= doubtful) return first
    const second = await probe(works[1]?.() as Grey, stripOf(sight, 1))
    return second > meanConfidence(first.words) + 10 ? read(1) : first
  }
  const up = await probe(works[0]?.() as Grey, stripOf(sight, 0))
  const down = await probe(works[1]?.() as Grey, stripOf(sight, 1))
  return read(up >= down ? 0 : 1)
}

/** Of the part that is read to see whether it can be, in pixels of the working picture. */
const stripHeight = 260

/** Where that part begins, upright or upside down. */
const stripOf = ({ strip, height }: Sight, way: number): number =>
  Math.round(way === 0 ? strip : Math.max(0, height - strip - stripHeight))

/** A floor, a grille or a target has marks like letters, and not many. */
const fewLetters = 700
/** What is no text is read with less confidence than that. */
const leastOfText = 55

async function showsText(works: readonly (() => Grey)[], sight: Sight): Promise<boolean> {
  for (const [way, work] of works.entries()) if ((await probe(work(), stripOf(sight, way))) >= leastOfText) return true
  return false
}

/** How well a part of the picture can be read: where most marks like letters stand. */
async function probe(work: Grey, top: number): Promise<number> {
  return meanConfidence(await recogniseWords(cutRows(work, top, top + stripHeight)))
}

function meanConfidence(words: readonly SeenWord[]): number {
  const letters = words.reduce((sum, { text }) => sum + text.length, 0)
  return letters === 0 ? 0 : words.reduce((sum, { text, confidence }) => sum + confidence * text.length, 0) / letters
}

/** A line that the engine made of a heading and of small print beside it has the height of the print: ink tells more. */
function placeWord({ text, confidence, ink, top, bottom, size }: SeenWord, unit: number, shownBy: Map3): Word {
  const box: Box = [ink[0] * unit, Math.min(top, ink[1]) * unit, ink[2] * unit, Math.max(bottom, ink[3]) * unit]
  const height = Math.max(size, ink[3] - ink[1])
  return { text, box, size: height * unit, confidence: Math.round(confidence), shown: mapBox(shownBy, ink) }
}

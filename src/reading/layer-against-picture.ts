/**
 * The text that a program laid with the picture of a page against what is read in the picture itself. Programs for scanning
 * misread, and anybody can change such a text without a trace on the page.
 *
 * Words are held against each other where they stand in one place. Which of them are one cannot be told where spaces were
 * seen otherwise, so that all that hang together are compared as one text; what is easily taken for something else does not
 * count, and of what was not read surely nothing is said. Measured on 33 pages, scanned well and coarsely: no value that was
 * left as it was is told to differ, and of 145 of which one digit was changed 116 are.
 */
import { illegible } from '../facts/illegible.ts'
import type { Box, ComparedLayer, Page, Word } from '../facts/reading.ts'

/** Of the smaller of two boxes: as much of it lies in the other where both hold one word. */
const leastShared = 0.4
/** A word without digits is told apart from another only by readings as sure as that, 0 to 100: accents are lost in English. */
const sureOfLetters = 93
/** More words than that hang together by mistake. */
const mostTied = 4
/** In points: words are looked for in stripes of that height. */
const stripe = 24

const placeOf = ({ shown, box }: Word): Box => shown ?? box

function isSamePlace(one: Box, other: Box): boolean {
  const across = Math.min(one[2], other[2]) - Math.max(one[0], other[0])
  const down = Math.min(one[3], other[3]) - Math.max(one[1], other[1])
  const area = ([x0, y0, x1, y1]: Box) => (x1 - x0) * (y1 - y0)
  return across > 0 && down > 0 && across * down >= leastShared * Math.min(area(one), area(other))
}

/** Words by the stripes that they stand in, so that each is held against those near it alone. */
function sortIntoStripes(words: readonly Word[]): (box: Box) => Word[] {
  const stripes = new Map<number, Word[]>()
  const stripesOf = (box: Box) => {
    const [first, last] = [Math.floor(box[1] / stripe), Math.floor(box[3] / stripe)]
    return Array.from({ length: Math.min(64, last - first + 1) }, (_, at) => first + at)
  }
  for (const word of words)
    for (const at of stripesOf(placeOf(word))) {
      const have = stripes.get(at)
      if (have) have.push(word)
      else stripes.set(at, [word])
    }
  return (box) => {
    const near = new Set(stripesOf(box).flatMap((at) => stripes.get(at) ?? []))
    return [...near].filter((word) => isSamePlace(box, placeOf(word)))
  }
}

const alike: readonly (readonly [RegExp, string])[] = [
  [/[OQD]/g, '0'],
  [/[IL|]/g, '1'],
  [/Z/g, '2'],
  [/S/g, '5'],
  [/G/g, '6'],
  [/B/g, '8'],
]

/** From left to right. */
const inOrder = (words: readonly Word[]): Word[] => words.toSorted((a, b) => placeOf(a)[0] - placeOf(b)[0])

/** Letters, digits, and points and signs of numbers, without case and without what is easily taken for something else. */
function fold(words: readonly Word[]): string {
  const text = inOrder(words)
    .map((word) =>
      word.text
        .normalize('NFKD')
        .toUpperCase()
        .replace(/[−–‐‑]/g, '-')
        .replace(/,/g, '.')
        .replace(/(?<!\d)\.|\.(?!\d)/g, '')
        .replace(/(?<=\d)[-+±]|[-+±](?!\d)/g, '')
        .replace(/[^\p{L}\p{N}|.+±-]/gu, ''),
    )
    .join('')
  return alike.reduce((folded, [pattern, sign]) => folded.replace(pattern, sign), text)
}

/** Readers lose points and signs: that one text has them and the other has not is no other value for sure. */
const bare = (folded: string): string => folded.replace(/[-+±.]/g, '')

const textOf = (words: readonly Word[]): string =>
  inOrder(words)
    .map(({ text }) => text)
    .join(' ')

/**
 * Compares the words of a page that stand for its picture with those read in the picture, as `judgeWords` left them. A word
 * beneath which nothing was read is unsure: readers miss words.
 */
export function compareLayer(page: Page, seen: readonly Word[]): ComparedLayer {
  const layer = page.words.filter((word) => word.layer === true && word.turned !== true)
  const inPicture = sortIntoStripes(seen)
  const inLayer = sortIntoStripes(layer)
  const compared: ComparedLayer = { alike: [], unsure: [], differing: [] }
  for (const word of layer) {
    const read = inPicture(placeOf(word))
    const tied = [...new Set([word, ...read.flatMap((other) => inLayer(placeOf(other)))])]
    const all = [...new Set(tied.flatMap((one) => inPicture(placeOf(one))))]
    const [said, found] = [fold(tied), fold(all)]
    const { box, text } = word
    if (said === '' || all.length === 0 || all.some((one) => one.text === illegible))
      compared.unsure.push({ box, text })
    else if (said === found) compared.alike.push({ box, text })
    else if (isDecided(bare(said), bare(found), tied, all))
      compared.differing.push({ box, text: textOf(tied), seen: textOf(all) })
    else compared.unsure.push({ box, text })
  }
  return compared
}

/** What coarse pictures make of one another, however sure the reading is: a text that differs in one of these alone is unsure. */
const confused: ReadonlySet<string> = new Set('08 17 38 39 4A 56 68 69 7T 89 CE EF MN UV VY'.split(' '))

function isConfused(said: string, found: string): boolean {
  const pairs = [...said].flatMap((one, at) => (one === found[at] ? [] : [[one, found[at] ?? ''].sort().join('')]))
  return pairs.length === 1 && confused.has(pairs[0] ?? '')
}

/** Whether words stand on one line, so that their order is sure. */
function areOnOneLine(words: readonly Word[]): boolean {
  const places = words.map(placeOf)
  return Math.max(...places.map(([, y0]) => y0)) < Math.min(...places.map(([, , , y1]) => y1))
}

/** Whether two texts are sure to be two. They have one length, since readers lose and double characters. */
function isDecided(said: string, found: string, tied: readonly Word[], all: readonly Word[]): boolean {
  if (said === found || said.length !== found.length || isConfused(said, found)) return false
  if (tied.length > mostTied || all.length > mostTied || !areOnOneLine(tied) || !areOnOneLine(all)) return false
  return all.every(({ text, confidence = 0 }) => /\d/.test(text) || confidence >= sureOfLetters)
}

/** Bar codes of known content in degraded pictures: how many are read, and whether one is ever read as something else. */

import type { Barcode, Symbology } from '../../../src/facts/reading.ts'
import { startLooking } from '../../../src/io/looking-process.ts'
import {
  contents,
  type Degradation,
  degradations,
  photographBars,
  photographCode,
} from '../../reading/barcode-pictures.ts'
import { makeChance } from '../defects/chance.ts'
import { alignColumns } from './table.ts'

export interface CodeFigures {
  level: string
  pictures: number
  read: number
  /** What was read though it is not there, with the content that is. */
  falseReads: string[]
}

/** Beside those of the tests; labels of vehicles, parts and job sheets, all invented. */
const more: readonly { symbology: Symbology; text: string }[] = [
  { symbology: 'code-39', text: 'HR7-20931844' },
  { symbology: 'code-128', text: '1ZZTE5T11NB000421' },
  { symbology: 'data-matrix', text: 'RO-48117' },
  { symbology: 'qr-code', text: '1ZZTE5T11NB000421' },
  { symbology: 'pdf417', text: 'RO-48117 / HT-88160-R2' },
]
const labels = [...contents, ...more]

/** Those of the tests, and some between and beyond. */
const levels: readonly Degradation[] = [
  ...degradations,
  { name: 'JPEG quality 15', quality: 15 },
  { name: 'turned 12°', turned: 12 },
  { name: 'turned 90°', turned: 90 },
  { name: 'slanted more', slanted: 0.3 },
  { name: 'deep in shadow', shadow: 0.8 },
  { name: 'half the size', scale: 0.5 },
  { name: 'small, blurred by 1, quality 60', scale: 0.6, blurred: 1, quality: 60 },
]
/** Pictures of bars that are no code. */
const bars = 40

/** `told` after each level. Pictures are turned a little more or less by the seed, so that another one is another run. */
export async function runCodes(seed: number, told: (figures: CodeFigures) => void): Promise<CodeFigures[]> {
  const pool = startLooking()
  const look = async (bytes: Uint8Array): Promise<Barcode[]> => {
    const looked = await pool.look(bytes, { path: 'label.jpg', media: 'image/jpeg' })
    if ('fault' in looked) throw new Error(`a picture of a label could not be looked at: ${looked.fault}`)
    return looked.barcodes
  }
  const chance = makeChance(seed)
  try {
    const figures: CodeFigures[] = []
    for (const level of levels) {
      const tasks = labels.map(({ symbology, text }) => {
        const turned = (level.turned ?? 0) + 2 * chance.even() - 1
        return photographCode(symbology, text, { ...level, turned })
          .then(look)
          .then((codes) => grade(codes, symbology, text))
      })
      const graded = await Promise.all(tasks)
      const read = graded.filter((one) => one.read).length
      const one = { level: level.name, pictures: graded.length, read, falseReads: graded.flatMap((g) => g.falseReads) }
      figures.push(one)
      told(one)
    }
    const seen = await Promise.all(
      Array.from({ length: bars }, (_, index) => look(photographBars(seed * 1000 + index))),
    )
    const none = {
      level: 'bars that are no code',
      pictures: bars,
      read: 0,
      falseReads: seen.flat().map(({ text }) => text),
    }
    told(none)
    return [...figures, none]
  } finally {
    await pool.close()
  }
}

function grade(codes: readonly Barcode[], symbology: Symbology, text: string) {
  const isRight = (code: Barcode) => code.symbology === symbology && code.text === text
  const falseReads = codes.filter((code) => !isRight(code)).map((code) => `${text} as ${code.symbology} ${code.text}`)
  return { read: codes.some(isRight), falseReads }
}

export function formatCodes(figures: readonly CodeFigures[]): string {
  const coded = figures.slice(0, -1)
  const total = {
    level: 'all codes',
    pictures: coded.reduce((sum, { pictures }) => sum + pictures, 0),
    read: coded.reduce((sum, { read }) => sum + read, 0),
    falseReads: coded.flatMap(({ falseReads }) => falseReads),
  }
  const rows = [...coded, total, ...figures.slice(-1)]
  return alignColumns([
    ['bar codes', ...rows.map(({ level }) => level)],
    ['pictures', ...rows.map(({ pictures }) => String(pictures))],
    ['read %', ...rows.map(({ read, pictures }) => ((100 * read) / pictures).toFixed(0))],
    ['false reads', ...rows.map(({ falseReads }) => String(falseReads.length))],
  ])
}

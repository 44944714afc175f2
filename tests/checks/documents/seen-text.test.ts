/** text-matches-picture on files that other programs made and altered: tests/vectors/seen-text and pdf-history. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { textMatchesPicture as check } from '../../../src/checks/documents/text-matches-picture.ts'
import { sightOf } from '../../../src/facts/sight.ts'
import { readPdf } from '../../../src/reading/pdf.ts'
import { root } from '../../source-file.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'

const parameters = generalParameters('text-matches-picture')
const folder = (name: string) => join(root, 'tests/vectors', name)
const filesIn = (name: string) => readdirSync(folder(name)).filter((file) => file.endsWith('.pdf'))

async function judge(name: string, file: string) {
  const bytes = new Uint8Array(readFileSync(join(folder(name), file)))
  const sight = sightOf(await readPdf(bytes, { path: file, media: 'application/pdf' }))
  const content = { [file]: { lines: [], pageNumbers: [], track: null, information: null, sight } }
  return runCheck(check, makePacket([makeDocument('calibration', file)], { content }), parameters)
}

const quoted = ({ data }: { data: Record<string, unknown> }) =>
  data.words ?? `${String(data.beneath)} under ${String(data.above)}`

test.each<[string, string, (string | string[])[]]>([
  ['stamp-percentage.pdf', 'painted-over', ['62%, under 100%,']],
  ['overlay-vin.pdf', 'painted-over', ['LE9NX41K7RD204417 under LE9NX41K7RD204471']],
  ['box-outcome-browser.pdf', 'painted-over', ['FAILED under PASSED']],
  ['annotations-date.pdf', 'painted-over', ['2026-10-20 under 2026-10-27']],
  [
    'tounicode-office.pdf',
    'other-letters',
    ['LE9NX41K1RD204411 under LE9NX41K7RD204417', 'C1A61-54 under C1A67-54', 'U0155-81 under U0155-87'],
  ],
  [
    'tounicode-chromium.pdf',
    'other-letters',
    ['2029-10-20 under 2026-10-20', '92% under 62%', 'C1A97-54 under C1A67-54'],
  ],
  ['white-code.pdf', 'unseen', [['C1A67-54']]],
  ['mode3-code.pdf', 'unseen', [['C1A67-54']]],
  ['no-opacity.pdf', 'unseen', [['C1A67-54']]],
  ['white-office.pdf', 'unseen', [['FAILED,', 'C1A99-76']]],
  ['cropped-code.pdf', 'unseen', [['C1A67-54']]],
  ['tiny-code.pdf', 'unseen', [['C1A67-54']]],
  ['bar-code.pdf', 'unseen', [['C1A67-54']]],
  ['layer-off.pdf', 'unseen', [['LE9NX41K7RD204417', '2026-10-20', '14:05', '62%,', 'FAILED', 'C1A67-54']]],
  ['clip-code.pdf', 'unseen', [['LE9NX41K7RD204417', '2026-10-20', '14:05', '62%,', 'FAILED', 'C1A67-54']]],
])('altered/%s: %s', async (file, message, values) => {
  const outcomes = await judge('seen-text/altered', file)
  expect([...new Set(outcomes.map((outcome) => outcome.message))]).toEqual([message])
  expect(outcomes.map(quoted)).toEqual(values)
})

test('no altered file is left out', () => {
  expect(filesIn('seen-text/altered')).toHaveLength(15)
})

test.each(filesIn('seen-text/innocent'))('innocent/%s', async (file) => {
  const outcomes = await judge('seen-text/innocent', file)
  expect(outcomes.map(({ message }) => message)).toEqual([
    file === 'scan-with-text.pdf' ? 'layer-not-compared' : 'as-seen',
  ])
})

test.each(filesIn('pdf-history/altered').filter((file) => /painted|whited|square|stamped|freetext/.test(file)))(
  'pdf-history/altered/%s, where a result is painted over',
  async (file) => {
    const outcomes = await judge('pdf-history/altered', file)
    expect(outcomes.map(({ message }) => message)).not.toContain('as-seen')
  },
)

test.each(filesIn('pdf-history/unaltered'))('pdf-history/unaltered/%s', async (file) => {
  const outcomes = await judge('pdf-history/unaltered', file)
  expect(outcomes.filter(({ state }) => state === 'unmet')).toEqual([])
})

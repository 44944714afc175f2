import { expect, test } from 'vitest'
import { pdfOneProducer as check } from '../../../src/checks/documents/pdf-one-producer.ts'
import type { DocumentFacts, DocumentKind } from '../../../src/facts/document.ts'
import { makeDocument, makePacket, makePlace } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

interface Made {
  creator?: string
  producer?: string
  fonts?: string[]
}
const instrument = { name: 'Corvane M4', serial: 'CM4-20117' }
const record = (kind: DocumentKind, file: string, rest: Partial<DocumentFacts> = {}) =>
  makeDocument(kind, file, { instrument, evidence: { 'instrument.serial': [makePlace('CM4-20117')] }, ...rest })

function packetOf(documents: [DocumentFacts, DocumentFacts], made: [Made, Made]) {
  const packet = makePacket(documents)
  const content = Object.fromEntries(
    documents.map(({ file }, index) => {
      const { fonts, ...information } = made[index] ?? {}
      return [file, { lines: [], pageNumbers: [], track: null, information, ...(fonts ? { fonts } : {}) }]
    }),
  )
  return { ...packet, content }
}
const scans: [DocumentFacts, DocumentFacts] = [record('pre-scan', 'a.pdf'), record('post-scan', 'b.pdf')]
const judge = (made: [Made, Made], documents = scans) => messagesOf(check, packetOf(documents, made))
const one = { creator: 'Corvane M4 3.8', producer: 'Corvane print' }

test('made alike, in whatever version', () => {
  expect(judge([one, { ...one, creator: 'Corvane M4 3.9.1' }])).toEqual(['same'])
})

test('by another program: both are named', () => {
  const [outcome] = runCheck(check, packetOf(scans, [one, { ...one, creator: 'Blotter 3' }]))
  expect(outcome).toMatchObject({ message: 'other-program', data: { one: 'Corvane M4 3.8', other: 'Blotter 3' } })
  expect(outcome?.contrasts?.[0]?.other).toMatchObject({ file: 'b.pdf', text: 'Blotter 3' })
})

test('fonts: none in common counts, another weight or subset does not', () => {
  const fonts = (...names: string[]) => ({ ...one, fonts: names })
  expect(judge([fonts('ABCDEF+Lark-Bold'), fonts('GHIJKL+Lark', 'Mono')])).toEqual(['same'])
  expect(judge([fonts('ABCDEF+Lark-Bold'), fonts('Teal')])).toEqual(['other-fonts'])
  expect(judge([fonts('Lark'), one])).toEqual(['same'])
})

test('what cannot be compared: other instruments, other kinds, other methods, nothing said', () => {
  const other = { ...one, creator: 'Blotter 3' }
  const open = ['nothing-to-compare']
  expect(judge([{}, {}])).toEqual(open)
  expect(judge([one, {}])).toEqual(open)
  const elsewhere = record('post-scan', 'b.pdf', { instrument: { ...instrument, serial: 'CM4-20118' } })
  expect(judge([one, other], [scans[0], elsewhere])).toEqual(open)
  const nameless = record('post-scan', 'b.pdf', { instrument: { name: 'Corvane M4' } })
  expect(judge([one, other], [scans[0], nameless])).toEqual(open)
  expect(judge([one, other], [scans[0], record('calibration', 'b.pdf')])).toEqual(open)
  const by = (method: 'static' | 'dynamic', file: string) =>
    record('calibration', file, {
      calibrations: [{ sensor: 'front-radar', position: null, method, outcome: 'completed' }],
    })
  expect(judge([one, other], [by('static', 'a.pdf'), by('dynamic', 'b.pdf')])).toEqual(open)
  expect(judge([one, other], [by('static', 'a.pdf'), by('static', 'b.pdf')])).toEqual(['other-program'])
})

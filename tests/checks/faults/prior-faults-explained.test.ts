import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { priorFaultsExplained as check } from '../../../src/checks/faults/prior-faults-explained.ts'
import type { CodeReading, DocumentFacts, OperationReading } from '../../../src/facts/document.ts'
import type { Declaration } from '../../../src/packet/packet.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket, makePlace } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeCode, makeModule } from './scans.ts'

const parameters = generalParameters('prior-faults-explained')
const radar = makeModule('Front radar', { sensor: 'front-radar' })
const modules = [radar, makeModule('Brake'), makeModule('Climate')]
const brake = makeCode({ module: 'Brake', code: 'U0155', text: 'Missing message from front radar' })
const climate = makeCode({ module: 'Climate', code: 'B1033', text: 'Blower motor stuck' })

interface Scene {
  before?: CodeReading[]
  after?: CodeReading[]
  post?: Partial<DocumentFacts>
  others?: DocumentFacts[]
  declaration?: Partial<Declaration>
}

function packetOf({ before = [makeCode()], after = [], post = {}, others = [], declaration }: Scene = {}) {
  const pre = makeDocument('pre-scan', 'pre.pdf', {
    codes: before,
    modules,
    evidence: Object.fromEntries(before.map((code, i) => [`codes.${i}`, [makePlace(code.code)]])),
  })
  const last = makeDocument('post-scan', 'post.pdf', { codes: after, modules, ...post })
  return makePacket([pre, last, ...others], declaration === undefined ? {} : { declaration })
}

const invoice = (text: string, parts: Partial<OperationReading> = {}) =>
  makeDocument('invoice', 'invoice.pdf', {
    operations: [{ text, calls: [], billed: true, kind: 'repair', ...parts }],
  })
const calibration = (outcome: 'completed' | 'failed') =>
  makeDocument('calibration', 'cal.pdf', {
    calibrations: [{ sensor: 'front-radar', position: null, method: 'dynamic', outcome }],
  })
const messages = (scene: Scene) => messagesOf(check, packetOf(scene), parameters)

describe('prior-faults-explained', () => {
  it('is met by words about clearing, which speak of every code', () => {
    const note = makeDocument('statement', 'notes.txt', {
      statements: [{ about: 'codes-cleared', text: 'Codes cleared after the repair' }],
    })
    expect(messages({ before: [makeCode(), climate], others: [note] })).toEqual(['explained'])
    const denial = makeDocument('statement', 'notes.txt', {
      statements: [{ about: 'codes-cleared', text: 'Codes were not cleared' }],
    })
    expect(messages({ others: [denial] })).toEqual(['unexplained'])
  })

  it('is met by a repair that touches the sensor or shares a telling word, and says which', () => {
    expect(messages({ others: [invoice('Bumper cover', { calls: ['front-radar'] })] })).toEqual(['explained'])
    const [outcome] = runCheck(check, packetOf({ before: [climate], others: [invoice('Blower, replace')] }), parameters)
    expect(outcome?.message).toBe('explained')
    expect(outcome?.working?.[0]?.data.operation).toBe('Blower, replace')
    expect(messages({ before: [climate], declaration: { repairs: [{ what: 'Blower replaced' }] } })).toEqual([
      'explained',
    ])
    // A scan on the invoice repairs nothing, and words of any line explain none.
    expect(messages({ before: [climate], others: [invoice('Scan, blower', { kind: 'scan' })] })).toEqual([
      'unexplained',
    ])
    expect(messages({ before: [climate], others: [invoice('Front sensor module, replace')] })).toEqual(['unexplained'])
  })

  it('is met by a completed calibration of the sensor, also for what other modules said of it', () => {
    expect(messages({ before: [makeCode(), brake], others: [calibration('completed')] })).toEqual(['explained'])
    expect(messages({ others: [calibration('failed')] })).toEqual(['unexplained'])
  })

  it('is unmet by what nothing touches, in one outcome that lists the codes', () => {
    const [outcome, ...more] = runCheck(
      check,
      packetOf({ before: [makeCode(), climate, brake], others: [calibration('completed')] }),
      parameters,
    )
    expect(more).toEqual([])
    expect(outcome).toMatchObject({ message: 'unexplained', data: { codes: ['B1033 in Climate'] } })
    expect(outcome?.evidence.map(({ text }) => text)).toEqual(['B1033'])
  })

  it('asks nothing of codes that are still there, were stored, or whose module is silent', () => {
    expect(messages({ after: [makeCode({ status: 'stored' })] })).toEqual(['none-gone'])
    expect(messages({ before: [makeCode({ status: 'stored' })] })).toEqual(['none-gone'])
    expect(messages({ before: [] })).toEqual(['none-gone'])
    const silent = [makeModule('Front radar', { state: 'no-response' })]
    expect(messages({ post: { modules: silent } })).toEqual(['none-gone'])
  })

  it('is undecided without both scans, or with one that was not read', () => {
    const alone = (kind: 'pre-scan' | 'post-scan') => makePacket([makeDocument(kind, 'scan.pdf', { codes: [] })])
    expect(messagesOf(check, alone('post-scan'), parameters)).toEqual(['no-pre-scan'])
    expect(messagesOf(check, alone('pre-scan'), parameters)).toEqual(['no-post-scan'])
    const unread = { problems: [{ code: 'unread-code', message: 'x' }] }
    expect(messages({ post: unread })).toEqual(['not-read'])
  })

  it('never asks about a code that both scans show', () => {
    const code = fc.record({
      code: fc.constantFrom('C1A67', 'U0155', 'B16A1'),
      module: fc.constantFrom('Brake', 'Climate'),
    })
    fc.assert(
      fc.property(fc.array(code, { maxLength: 5 }), (list) => {
        const codes = list.map(makeCode)
        expect(messages({ before: codes, after: codes.toReversed() })).toEqual(['none-gone'])
      }),
    )
  })
})

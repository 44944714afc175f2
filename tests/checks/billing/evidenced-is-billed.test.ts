import { describe, expect, it } from 'vitest'
import { evidencedIsBilled as check } from '../../../src/checks/billing/evidenced-is-billed.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { camera, makeBill, makeContent, makeRecord, radar, unnamed } from './bills.ts'

const messagesOf = (...documents: DocumentFacts[]) => messages(check, makePacket(documents))
const bill = (...lines: Parameters<typeof makeBill>[1]) => makeBill('invoice.pdf', lines)
const angle = makeRecord({ sensor: 'steering-angle', method: 'initialisation' }, 'angle.pdf')

describe('evidenced-is-billed', () => {
  it('is met by a line for the sensor, and points at record and line', () => {
    const [outcome] = runCheck(check, makePacket([makeRecord(), bill(radar)]))
    expect(outcome).toMatchObject({ message: 'billed', data: { lines: [radar.text] } })
    expect(outcome?.evidence.map(({ text }) => text)).toEqual(['Result completed', radar.text])
  })

  it('is unmet without one, or with one for another sensor, side or method', () => {
    expect(messagesOf(makeRecord(), bill(camera))).toEqual(['not-billed'])
    expect(messagesOf(makeRecord({ method: 'static' }), bill(radar))).toEqual(['not-billed'])
    const left = { text: 'Corner radar calibration left', kind: 'calibration' as const, position: 'left' }
    const sides = ['left', 'right'].map((position) =>
      makeRecord({ sensor: 'corner-radar', method: 'static', position }, `${position}.pdf`),
    )
    expect(messagesOf(...sides, bill({ ...left, calls: ['corner-radar'] }))).toEqual(['billed', 'not-billed'])
  })

  it('takes a line that names no method for either', () => {
    const { method: _, ...plain } = { ...camera, text: 'Front camera calibration' }
    const both = (['static', 'dynamic'] as const).map((method) =>
      makeRecord({ sensor: 'front-camera', method }, `${method}.pdf`),
    )
    expect(messagesOf(...both, bill(plain))).toEqual(['billed', 'billed'])
  })

  it('asks for each calibration once, and for none that failed', () => {
    expect(messagesOf(makeRecord(), makeRecord({}, 'copy.pdf'), bill(camera))).toEqual(['not-billed'])
    expect(messagesOf(makeRecord({ outcome: 'failed' }), bill(camera))).toEqual(['no-calibration'])
  })

  it('leaves it open where a line may be meant, or an invoice was not read', () => {
    expect(messagesOf(makeRecord(), bill(unnamed))).toEqual(['line-names-no-sensor'])
    expect(messagesOf(makeRecord(), bill({ text: 'ADAS package', amount: 500 }))).toEqual(['line-names-no-sensor'])
    const lines = (text: string) => makeContent({ 'invoice.pdf': [text] })
    const say = (text: string) => messages(check, makePacket([makeRecord(), bill(camera)], { content: lines(text) }))
    expect(say('Radar aiming on the road 310.00')).toEqual(['line-names-no-sensor'])
    expect(say(`${camera.text} 290.00`)).toEqual(['not-billed'])
    expect(say('Calibrated with care')).toEqual(['not-billed'])
    const unread = makeBill('invoice.pdf', [camera], { problems: [{ code: 'ocr-part', message: '' }] })
    expect(messagesOf(makeRecord(), unread)).toEqual(['invoice-not-read'])
  })

  it('counts setting an angle to zero with the alignment, and else as part of other work', () => {
    const alignment = { text: 'Wheel alignment', kind: 'alignment' as const, amount: 139 }
    expect(messagesOf(angle, bill(alignment))).toEqual(['part-of-alignment'])
    expect(messagesOf(angle, bill(radar))).toEqual(['setting-not-billed'])
  })

  it('takes no estimate for a bill, and asks for the invoice of the shop', () => {
    expect(messagesOf(makeRecord(), makeDocument('estimate', 'estimate.pdf'))).toEqual(['no-invoice'])
    expect(messagesOf(makeRecord(), makeBill('sublet 90.pdf', [camera]))).toEqual(['no-invoice'])
    expect(messagesOf(makeRecord(), makeBill('sublet 90.pdf', [radar]))).toEqual(['billed'])
    expect(messagesOf(bill(radar))).toEqual(['no-calibration'])
  })
})

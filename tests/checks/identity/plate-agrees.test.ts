import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { plateAgrees as check } from '../../../src/checks/identity/plate-agrees.ts'
import { makeDocument, makePacket, makePlace } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const files = (...plates: (string | undefined)[]) =>
  plates.map((plate, index) => makeDocument('pre-scan', `${index}.pdf`, { plate }))
const say = (...plates: (string | undefined)[]) => messagesOf(check, makePacket(files(...plates)))

describe('plate-agrees', () => {
  it.each([
    [['JKM 7714', 'JKM-7714', 'jkm7714'], ['agree']],
    [['JKM 7714', 'ME JKM 7714', 'JKM 7714 Maine'], ['agree']],
    [['JKM 7714', 'JKR 7714'], ['slip']],
    [['JKM 7714', 'JKM 7741'], ['slip']],
    [['JKM 7714', 'TRN 2090'], ['differs']],
    [['JKM 7714', '04417523'], ['other-shape']],
    [['JKM 7714', 'AB 1'], ['other-shape']],
    [['JKB 7714', 'JK8 7714'], ['look-alike']],
    [['JKO 7714', 'JK0 7714'], ['same-glyph']],
    [['JKM 7714', undefined], ['one-reading']],
    [[undefined], ['no-plate']],
  ])('%j: %j', (plates, messages) => {
    expect(say(...plates)).toEqual(messages)
  })

  it('measures by what most files show, names the odd ones together, and points at all', () => {
    const packet = makePacket(files('JKM 7714', 'TRN 2090', 'JKM 7714', 'TRN-2090', 'JKM 7714'))
    const [outcome, ...more] = runCheck(check, packet)
    expect(more).toEqual([])
    expect(outcome).toMatchObject({ message: 'differs', data: { odd: ['1.pdf', '3.pdf'], plate: 'JKM 7714' } })
    expect(new Set(outcome?.evidence.map(({ file }) => file)).size).toBe(5)
  })

  it('hears what is declared, which settles a tie', () => {
    const declaration = { vehicle: { plate: 'TRN 2090' } }
    const [outcome] = runCheck(check, makePacket(files('JKM 7714'), { declaration }))
    expect(outcome).toMatchObject({ message: 'differs', data: { odd: ['0.pdf'], plate: 'TRN 2090' } })
  })

  it('names the characters that were confused', () => {
    const [outcome] = runCheck(check, makePacket(files('8841 XK', '8841 XK', '8B41 XK')))
    expect(outcome?.data).toMatchObject({ found: 'B', expected: '8' })
  })

  it('leaves out a file of unknown role without this VIN, and one that shows the right plate too', () => {
    const rental = makeDocument('other', 'rental.pdf', { plate: 'QQ 1111', vin: undefined })
    expect(messagesOf(check, makePacket([...files('JKM 7714', 'JKM 7714'), rental]))).toEqual(['agree'])
    const lines = [makePlace('Your vehicle JKM 7714, loan car QQ 1111')]
    const content = { '1.pdf': { lines, pageNumbers: [], track: null, information: null } }
    expect(messagesOf(check, makePacket(files('JKM 7714', 'QQ 1111'), { content }))).toEqual(['agree'])
  })

  it('never holds spaces and hyphens against a plate', () => {
    const plate = fc.stringMatching(/^[A-HJ-NPR-Z]{3}[2-9]{4}$/)
    fc.assert(
      fc.property(plate, fc.constantFrom(' ', '-', '·', ''), (text, gap) => {
        expect(say(text, `${text.slice(0, 3)}${gap}${text.slice(3)}`)).toEqual(['agree'])
      }),
    )
  })
})

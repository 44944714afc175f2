/** Every byte of a signed file changed, and files made to keep a reader busy. */
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { anyAlgorithm, examinePdfSignatures, type PdfExamining } from '../../../../src/seal/pdf/reading/index.ts'
import { type Desk, openDesk } from '../../desk.ts'
import { find, makePaper, makeSelfSigned, nextNumber, opensslSigner, put, sign, update } from './signed-pdf.ts'

vi.setConfig({ testTimeout: 120_000, hookTimeout: 60_000 })

const examining: PdfExamining = {
  trust: { certificates: [], fingerprints: [] },
  policy: anyAlgorithm,
  at: new Date('2026-12-01T00:00:00Z'),
  file: 'report.pdf',
}

const examine = (pdf: Uint8Array) => examinePdfSignatures(pdf, examining).map(({ signature }) => signature)
const isAccepted = (pdf: Uint8Array): boolean =>
  examine(pdf).some(({ state, covers, field }) => state === 'holds' && covers === 'whole' && field !== null)
const bytesOf = (text: string): Uint8Array => Uint8Array.from(Buffer.from(text, 'latin1'))

let desk: Desk
let clear = () => {}
let signer: ReturnType<typeof opensslSigner>
let signed: Uint8Array

beforeAll(async () => {
  desk = openDesk((dispose) => {
    clear = dispose
  })
  makeSelfSigned(desk, 'bench', ['ec', '-pkeyopt', 'ec_paramgen_curve:P-256'])
  signer = opensslSigner(desk, 'bench', '-cades')
  signed = await sign(await makePaper(), { format: 'ETSI.CAdES.detached', room: 1500, sign: signer })
})

afterAll(() => clear())

/** Where the digits of the signature stand, and how many of them are its own. */
function findDigits(pdf: Uint8Array): { start: number; end: number; own: number } {
  const text = Buffer.from(pdf).toString('latin1')
  const start = text.lastIndexOf('/Contents <') + 11
  const length = Number.parseInt(text.slice(start + 4, start + 8), 16) + 4
  return { start, end: text.indexOf('>', start), own: start + 2 * length }
}

describe('any byte changed', () => {
  test('the file as it was signed is accepted', () => {
    expect(isAccepted(signed)).toBe(true)
  })

  test.each([1, 0x20, 0x80, 0x03])(
    'by %i: nowhere is it accepted, but where the same signature is written otherwise',
    (mask) => {
      const { start, own } = findDigits(signed)
      const accepted: number[] = []
      for (let at = 0; at < signed.length; at++) {
        const changed = Uint8Array.from(signed)
        changed[at] = (changed[at] as number) ^ mask
        if (isAccepted(changed)) accepted.push(at)
      }
      const valueAt = (pdf: Uint8Array) => Buffer.from(pdf.subarray(start, own)).toString('latin1').toLowerCase()
      const changedAt = (at: number) => signed.map((byte, index) => (index === at ? byte ^ mask : byte))
      // A to F in the other case is the one signature that these digits stand for.
      expect(accepted.filter((at) => at < start || at >= own || valueAt(changedAt(at)) !== valueAt(signed))).toEqual([])
      if (mask !== 0x20) expect(accepted).toEqual([])
    },
  )

  test('any byte taken out or put in', () => {
    const accepted: number[] = []
    for (let at = 0; at < signed.length; at += 3) {
      const [head, tail] = [signed.subarray(0, at), signed.subarray(at)]
      for (const changed of [Buffer.concat([head, tail.subarray(1)]), Buffer.concat([head, Buffer.from(' '), tail])])
        if (isAccepted(Uint8Array.from(changed))) accepted.push(at)
    }
    expect(accepted).toEqual([])
  })
})

describe('files made to keep a reader busy', () => {
  /** Quickly, and with something to say. */
  function examineQuickly(pdf: Uint8Array, seconds = 10) {
    const begun = performance.now()
    const found = examine(pdf)
    expect((performance.now() - begun) / 1000).toBeLessThan(seconds)
    return found
  }

  test('cross-reference sections in a circle', () => {
    const text = Buffer.from(signed).toString('latin1')
    const last = Number(/[\s\S]*startxref\s+(\d+)/.exec(text)?.[1])
    const [found] = examineQuickly(bytesOf(text.replace(/\/Prev \d+(?![\s\S]*\/Prev)/, `/Prev ${last}`)))
    expect(found?.state).not.toBe('holds')
    const [root] = find(signed, 'Catalog')
    const looping = `${text}xref\n0 0\ntrailer\n<< /Size 99 /Root ${root} 0 R /Prev ${text.length} >>\nstartxref\n${text.length}\n%%EOF\n`
    expect(examineQuickly(bytesOf(looping))[0]).toMatchObject({ state: 'doubtful', code: 'structure' })
  })

  test('thousands of signatures', () => {
    const [root, catalog] = find(signed, 'Catalog')
    const first = nextNumber(signed)
    const value = /\/V (\d+ 0 R)/.exec(Buffer.from(signed).toString('latin1'))?.[1]
    const fields = Array.from({ length: 5000 }, (_, index) => first + index)
    const objects = new Map([
      [
        root,
        put(catalog, 'AcroForm', `<< /SigFlags 3 /Fields [${fields.map((number) => `${number} 0 R`).join(' ')}] >>`),
      ],
      ...fields.map((number) => [number, `<< /FT /Sig /T (S${number}) /V ${value} >>`] as const),
    ])
    const found = examineQuickly(update(signed, objects), 20)
    expect(found.at(-1)).toMatchObject({ state: 'doubtful', code: 'too-many' })
    expect(found.length).toBeLessThan(50)
  })

  test.each([
    [
      'a stream that expands without measure',
      '<< /Type /ObjStm /N 99999999 /First 0 /Length 4 >>\nstream\n1 0 \nendstream',
    ],
    ['values nested without end', '['.repeat(200_000)],
    ['a dictionary that never ends', `<< ${'/A << '.repeat(50_000)}`],
    ['a number without measure', '9'.repeat(100_000)],
    ['a string that never ends', '(((((((((('],
  ])('%s', (_, body) => {
    const [root, catalog] = find(signed, 'Catalog')
    const added = nextNumber(signed)
    const found = examineQuickly(
      update(
        signed,
        new Map([
          [added, body],
          [root, put(catalog, 'Outlines', `${added} 0 R`)],
        ]),
      ),
    )
    expect(found[0]?.covers).not.toBe('whole')
  })

  test('a form whose fields are their own parents, and a page tree that is its own', () => {
    const [root, catalog] = find(signed, 'Catalog')
    const added = nextNumber(signed)
    const looping = update(
      signed,
      new Map([
        [root, put(put(catalog, 'AcroForm', `<< /Fields [${added} 0 R] >>`), 'Pages', `${added + 1} 0 R`)],
        [added, `<< /T (a) /Kids [${added} 0 R ${added} 0 R] /Parent ${added} 0 R >>`],
        [added + 1, `<< /Type /Pages /Count 1 /Kids [${added + 1} 0 R] /Parent ${added + 1} 0 R >>`],
      ]),
    )
    expect(examineQuickly(looping)[0]?.state).not.toBe('holds')
  })

  test('no PDF at all, and hardly one', () => {
    for (const text of ['', '%PDF-1.7', 'startxref\n0\n%%EOF', '/ByteRange [0 1 2 3]', 'x'.repeat(3_000_000)])
      expect(examineQuickly(bytesOf(text)).every(({ state }) => state !== 'holds')).toBe(true)
  })
})

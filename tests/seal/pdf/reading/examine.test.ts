/** Signed PDFs by other programs, and what was done to them afterwards; poppler says what it thinks where it looks at the same. */
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import type { PdfChange, PdfSignature } from '../../../../src/facts/pdf-signature.ts'
import { readPdf } from '../../../../src/reading/pdf.ts'
import {
  addWords,
  anyAlgorithm,
  examinePdfSignatures,
  type PdfExamining,
} from '../../../../src/seal/pdf/reading/index.ts'
import { type Desk, openDesk } from '../../desk.ts'
import {
  find,
  makePaper,
  makeSelfSigned,
  nextNumber,
  objectsOf,
  opensslSigner,
  put,
  setField,
  sign,
  update,
} from './signed-pdf.ts'

vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 })

const hint = { path: 'report.pdf', media: 'application/pdf' }
const examining: PdfExamining = {
  trust: { certificates: [], fingerprints: [] },
  policy: anyAlgorithm,
  at: new Date('2026-12-01T00:00:00Z'),
  file: 'report.pdf',
}

/** As the review does it: with the words of both readings. */
async function examine(pdf: Uint8Array, more: Partial<PdfExamining> = {}): Promise<PdfSignature[]> {
  const reading = await readPdf(pdf, hint)
  return Promise.all(
    examinePdfSignatures(pdf, { ...examining, ...more }).map(async ({ signature, changes, end }) => ({
      ...signature,
      changes: addWords(changes, end === null ? null : await readPdf(pdf.slice(0, end), hint), reading),
    })),
  )
}

const seen = ({ changes }: PdfSignature): PdfChange[] => changes.filter(({ effect }) => effect === 'seen')
const effects = ({ changes }: PdfSignature): string[] => changes.map(({ kind, effect }) => `${kind} ${effect}`)

let desk: Desk
let clear = () => {}
afterAll(() => clear())
let signer: ReturnType<typeof opensslSigner>
let paper: Uint8Array
let signed: Uint8Array

beforeAll(async () => {
  desk = openDesk((dispose) => {
    clear = dispose
  })
  makeSelfSigned(desk, 'bench')
  signer = opensslSigner(desk, 'bench', '-cades')
  paper = await makePaper({ pages: 2, fields: { result: 'passed', remark: '' } })
  signed = await sign(paper, { sign: signer })
})

const poppler = (pdf: Uint8Array): string => {
  desk.put('judged.pdf', pdf)
  return desk.run('pdfsig', '-nocert', 'judged.pdf')
}

const only = async (pdf: Uint8Array): Promise<PdfSignature> => {
  const [one, ...others] = await examine(pdf)
  expect(others).toEqual([])
  return one as PdfSignature
}

/** A page's words painted over with a white rectangle, and others in their place. */
function overpaint(pdf: Uint8Array, words: string | null): Uint8Array {
  const [number, page] = find(pdf, 'Page')
  const added = nextNumber(pdf)
  const [, old = ''] = /\/Contents (\[[^\]]*\]|\d+ 0 R)/.exec(page) ?? []
  const [, font = ''] = /\/Font <<\s*\/(\S+) /.exec(page) ?? []
  const drawing = `1 1 1 rg 10 140 280 30 re f${words === null ? '' : ` BT 0 g /${font} 10 Tf 20 150 Td (${words}) Tj ET`}`
  return update(
    pdf,
    new Map([
      [number, put(page, 'Contents', `[${old.replace(/^\[|\]$/g, '')} ${added} 0 R]`)],
      [added, `<< /Length ${drawing.length} >>\nstream\n${drawing}\nendstream`],
    ]),
  )
}

function annotate(pdf: Uint8Array, subtype: string, rectangle: string, text: string): Uint8Array {
  const [number, page] = find(pdf, 'Page')
  const added = nextNumber(pdf)
  const [, old = ''] = /\/Annots \[([^\]]*)\]/.exec(page) ?? []
  return update(
    pdf,
    new Map([
      [number, put(page, 'Annots', `[${old} ${added} 0 R]`)],
      [
        added,
        `<< /Type /Annot /Subtype /${subtype} /Rect ${rectangle} /Contents (${text}) /F 4 /DA (/Helv 10 Tf 0 g) >>`,
      ],
    ]),
  )
}

describe('a signature over the whole file', () => {
  test('holds, as poppler says', async () => {
    expect(poppler(signed)).toMatch(/Total document signed\n.*Signature is Valid/)
    expect(await only(signed)).toMatchObject({
      field: 'Signature1',
      kind: 'approval',
      state: 'holds',
      covers: 'whole',
      coveredBytes: signed.length,
      claimedTime: '2026-09-01T12:00:00Z',
      trust: { state: 'unexamined' },
      signer: { subject: 'CN=bench of Larkfield Sensor Works', key: 'rsa-2048' },
      changes: [],
    })
  })

  test('holds in a file with object streams, written by qpdf', async () => {
    desk.put('plain.pdf', paper)
    desk.run('qpdf', '--object-streams=generate', 'plain.pdf', 'packed.pdf')
    desk.run('qpdf', '--qdf', '--object-streams=disable', 'packed.pdf', 'unpacked.pdf')
    const again = await sign(new Uint8Array(desk.get('unpacked.pdf')), { sign: signer })
    expect(await only(again)).toMatchObject({ state: 'holds', covers: 'whole' })
  })

  test.each([
    ['adbe.pkcs7.detached', [], 'holds'],
    ['ETSI.CAdES.detached', ['-cades'], 'holds'],
    ['ETSI.CAdES.detached', [], 'not-bound'],
    ['adbe.pkcs7.detached', ['-noattr'], 'holds'],
    ['adbe.pkcs7.detached', ['-keyid'], 'holds'],
    ['adbe.pkcs7.detached', ['-md', 'sha512'], 'holds'],
    ['adbe.pkcs7.detached', ['-nodetach'], 'content-attached'],
    ['adbe.pkcs7.detached', ['-nocerts'], 'no-certificate'],
    ['adbe.x509.rsa_sha1', [], 'not-judged'],
  ])('%s with openssl %j: %s', async (format, options, code) => {
    const pdf = await sign(paper, { format, room: 8000, sign: opensslSigner(desk, 'bench', ...options) })
    expect((await only(pdf)).code).toBe(code)
  })

  test('an attached SHA-1 of the file (adbe.pkcs7.sha1) is compared with the file', async () => {
    const attach = (text: (covered: Uint8Array) => Uint8Array) => (covered: Uint8Array) =>
      opensslSigner(desk, 'bench', '-nodetach')(text(covered))
    const sha1 = (bytes: Uint8Array) => {
      desk.put('digested', bytes)
      return Buffer.from(desk.openssl('dgst', '-sha1', '-r', 'digested').slice(0, 40), 'hex')
    }
    const format = 'adbe.pkcs7.sha1'
    expect(await only(await sign(paper, { format, sign: attach(sha1) }))).toMatchObject({ state: 'holds' })
    const other = await sign(paper, { format, sign: attach(() => sha1(Buffer.from('another file'))) })
    expect(await only(other)).toMatchObject({ state: 'broken', code: 'digest-mismatch' })
  })

  test('an algorithm that the policy does not list is doubtful, and one that aged says so', async () => {
    const policy = [
      { name: 'sha-256', basis: 'x' } as const,
      { name: 'rsa-pkcs1', leastBits: 2048, until: '2026-11-30', basis: 'x' } as const,
    ]
    const judged = async (pdf: Uint8Array, at: string) => (await examine(pdf, { policy, at: new Date(at) }))[0]
    expect(await judged(signed, '2026-11-30T00:00:00Z')).toMatchObject({ state: 'holds' })
    expect(await judged(signed, '2026-12-01T00:00:00Z')).toMatchObject({ state: 'doubtful', code: 'algorithm-aged' })
    const old = await sign(paper, { sign: opensslSigner(desk, 'bench', '-md', 'sha1') })
    expect(await judged(old, '2026-11-30T00:00:00Z')).toMatchObject({ state: 'doubtful', code: 'algorithm-weak' })
  })

  test('a signer on the trust list is trusted, another is not', async () => {
    makeSelfSigned(desk, 'other')
    const fingerprintOf = (name: string) => {
      const text = desk.openssl('x509', '-in', `${name}.pem`, '-noout', '-fingerprint', '-sha256')
      return text.replace(/^.*=/, '').trim().replaceAll(':', '').toLowerCase()
    }
    const at = new Date()
    const trusting = async (name: string) =>
      (await examine(signed, { at, trust: { certificates: [], fingerprints: [fingerprintOf(name)] } }))[0]?.trust
    expect(await trusting('bench')).toMatchObject({ state: 'holds', code: 'trusted' })
    expect(await trusting('other')).toMatchObject({ state: 'doubtful', code: 'not-listed' })
  })
})

describe('the byte range', () => {
  test.each<[string, (range: readonly number[]) => readonly number[], string]>([
    ['starts at 1', ([, b = 0, c = 0, d = 0]) => [1, b - 1, c, d], 'range-start'],
    ['leaves out more than the signature', ([a = 0, b = 0, c = 0, d = 0]) => [a, b, c + 5, d - 5], 'range-gap'],
    ['leaves out what is before the signature', ([a = 0, b = 0, c = 0, d = 0]) => [a, b - 40, c, d], 'range-gap'],
    ['ends before the file does', ([a = 0, b = 0, c = 0, d = 0]) => [a, b, c, d - 10], 'range-no-revision'],
    ['overlaps itself', ([a = 0, b = 0, , d = 0]) => [a, b, b - 100, d], 'range-overlaps'],
  ])('%s: %s', async (_, bend, code) => {
    const pdf = await sign(paper, { bend, sign: signer })
    expect(await only(pdf)).toMatchObject({ state: 'broken', code })
  })

  test.each([
    '[0 99999999999999999999 1 1]',
    '[0 -5 9 9]',
    '[0 10 20]',
    '[0 1.5 3 4]',
    '[0 10 99999999999 5]',
    '[0 9 9 9 9 9]',
    '7',
  ])('%s is refused', async (range) => {
    const text = Buffer.from(signed).toString('latin1')
    const bent = text.replace(/\/ByteRange \[[^\]]*\] */, `/ByteRange ${range} `)
    const [one] = await examine(Uint8Array.from(Buffer.from(bent, 'latin1')))
    expect(one?.state).toBe('broken')
  })

  test('other bytes than zeros after the signature are a fault', async () => {
    const pdf = Buffer.from(signed)
    const end = pdf.lastIndexOf('00>')
    pdf.write('1', end, 'latin1')
    expect(await only(Uint8Array.from(pdf))).toMatchObject({ state: 'broken', code: 'padding' })
  })
})

describe('what came after a signature', () => {
  test('another signature changes nothing', async () => {
    const both = await examine(await sign(signed, { field: 'Signature2', sign: signer }))
    expect(both.map(({ field, state, covers }) => [field, state, covers])).toEqual([
      ['Signature1', 'holds', 'revision'],
      ['Signature2', 'holds', 'whole'],
    ])
    expect(both.flatMap(effects)).toEqual(['signature harmless', 'signature harmless'])
  })

  test('a page painted over is seen, though poppler calls the signature valid and the words still stand in the file', async () => {
    const pdf = overpaint(signed, null)
    expect(poppler(pdf)).toContain('Signature is Valid')
    const one = await only(pdf)
    expect(one).toMatchObject({ state: 'holds', covers: 'revision', coveredBytes: signed.length })
    expect(seen(one)).toMatchObject([
      { kind: 'page', page: 1, before: expect.stringContaining('Front radar 1 aligned'), after: null },
    ])
  })

  test('words in their place are shown', async () => {
    const [change] = seen(await only(overpaint(signed, 'Front radar 1 failed')))
    expect(change).toMatchObject({ kind: 'page', page: 1, after: 'failed' })
  })

  test('a form’s value is shown as it was and is', async () => {
    expect(seen(await only(setField(signed, 'result', 'failed')))).toMatchObject([
      { kind: 'form-value', before: 'passed', after: 'failed' },
    ])
  })

  test('a field that was left empty and filled in later is for a person to see', async () => {
    const one = await only(setField(signed, 'remark', 'see page 2'))
    expect(effects(one)).toEqual(['form-value unclear'])
    expect(one.changes[0]).toMatchObject({ before: null, after: 'see page 2' })
  })

  test.each([
    ['FreeText', '[20 140 280 170]', 'annotation seen'],
    ['FreeText', '[150 90 280 120]', 'annotation unclear'],
    ['Highlight', '[20 140 280 170]', 'annotation unclear'],
    ['Square', '[20 140 280 170]', 'annotation seen'],
  ])('an annotation %s at %s: %s', async (subtype, rectangle, effect) => {
    const one = await only(annotate(signed, subtype, rectangle, 'Left radar'))
    expect(effects(one)).toEqual([effect])
    expect(one.changes[0]).toMatchObject({ page: 1, after: 'Left radar' })
  })

  test('a page more is seen', async () => {
    const [tree = [0, '']] = [...objectsOf(signed)].filter(([, body]) => /\/Type \/Pages/.test(body))
    const [, page] = find(signed, 'Page')
    const added = nextNumber(signed)
    const kids = /\/Kids \[([^\]]*)\]/.exec(tree[1])?.[1] ?? ''
    const pdf = update(
      signed,
      new Map([
        [tree[0], put(put(tree[1], 'Kids', `[${kids} ${added} 0 R]`), 'Count', '3')],
        [added, page],
      ]),
    )
    expect(seen(await only(pdf))).toMatchObject([{ kind: 'pages', before: '2', after: '3' }])
  })

  test('new information is harmless', async () => {
    const [root, catalog] = find(signed, 'Catalog')
    const added = nextNumber(signed)
    const pdf = update(
      signed,
      new Map([
        [root, put(put(catalog, 'Lang', '(en)'), 'DSS', `${added} 0 R`)],
        [added, '<< /Certs [] >>'],
      ]),
    )
    expect(effects(await only(pdf)).sort()).toEqual(['information harmless', 'validation harmless'])
  })

  test('an object that points back to another place of the file is no longer the same', async () => {
    const revised = overpaint(paper, 'Front radar 1 failed')
    const whole = await sign(revised, { sign: signer })
    const [number] = find(paper, 'Page')
    const start = Buffer.from(paper).indexOf(`${number} 0 obj`)
    const text = Buffer.from(whole).toString('latin1')
    const previous = Number(/[\s\S]*startxref\s+(\d+)/.exec(text)?.[1])
    const [root] = find(whole, 'Catalog')
    const rolledBack = `${text}xref\n${number} 1\n${String(start).padStart(10, '0')} 00000 n \ntrailer\n<< /Size ${nextNumber(whole)} /Root ${root} 0 R /Prev ${previous} >>\nstartxref\n${text.length}\n%%EOF\n`
    const one = await only(Uint8Array.from(Buffer.from(rolledBack, 'latin1')))
    expect(seen(one).map(({ kind }) => kind)).toContain('page')
  })

  test('bytes after the end that are no revision change nothing by themselves', async () => {
    const one = await only(Uint8Array.from(Buffer.concat([signed, Buffer.from('\n% a remark\n')])))
    expect(one).toMatchObject({ state: 'holds', covers: 'revision', changes: [] })
  })

  test('a signature whose field is emptied is told as taken out', async () => {
    const [widget, body] = [...objectsOf(signed)].find(([, one]) => one.includes('/FT /Sig')) as [number, string]
    const pdf = update(signed, new Map([[widget, body.replace(/\/V \d+ 0 R/, '')]]))
    const one = await only(pdf)
    expect(one).toMatchObject({ field: null, state: 'doubtful', code: 'removed' })
    expect(seen(one)).toMatchObject([{ kind: 'signature' }])
  })

  test('usage rights are nobody’s signature, nor is what an embedded file holds', async () => {
    const [widget, body] = [...objectsOf(signed)].find(([, one]) => one.includes('/FT /Sig')) as [number, string]
    const [root, catalog] = find(signed, 'Catalog')
    const value = /\/V (\d+ 0 R)/.exec(body)?.[1]
    const bare = put(put(catalog, 'AcroForm', '<< /Fields [] >>'), 'Perms', `<< /UR3 ${value} >>`)
    expect(
      await examine(
        update(
          signed,
          new Map([
            [root, bare],
            [widget, 'null'],
          ]),
        ),
      ),
    ).toEqual([])
    const added = nextNumber(paper)
    const embedded = Buffer.from(signed).toString('latin1')
    const holder = `<< /Type /EmbeddedFile /Length ${embedded.length} >>\nstream\n${embedded}\nendstream`
    expect(await examine(update(paper, new Map([[added, holder]])))).toEqual([])
  })

  test('a file whose form says that it was signed, and that holds no signature', async () => {
    const [root, catalog] = find(paper, 'Catalog')
    const pdf = update(paper, new Map([[root, put(catalog, 'AcroForm', '<< /SigFlags 3 /Fields [] >>')]]))
    expect(await only(pdf)).toMatchObject({ state: 'doubtful', code: 'stripped' })
    expect(await examine(paper)).toEqual([])
  })
})

describe('an author’s rule for later changes (DocMDP)', () => {
  test.each([
    [1, 'remark', 'form-value seen'],
    [2, 'remark', 'form-value permitted'],
    [2, 'result', 'form-value unclear'],
    [3, 'remark', 'form-value permitted'],
  ] as const)('level %i, the field %s', async (level, field, effect) => {
    const certified = await sign(paper, { level, sign: signer })
    expect(poppler(certified)).toContain('Signature is Valid')
    const one = await only(setField(certified, field, 'more'))
    expect(one.kind).toBe('certification')
    expect(effects(one)).toEqual([effect])
  })

  test.each([
    [1, 'annotation seen'],
    [2, 'annotation seen'],
    [3, 'annotation unclear'],
  ] as const)('level %i, a remark', async (level, effect) => {
    const certified = await sign(paper, { level, sign: signer })
    expect(effects(await only(annotate(certified, 'Highlight', '[20 140 280 170]', 'see')))).toEqual([effect])
  })
})

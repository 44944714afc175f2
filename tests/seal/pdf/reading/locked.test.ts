/** What a signature locks beside the bytes that it covers, and what encryption hides. */
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { anyAlgorithm, examinePdfSignatures, type PdfExamining } from '../../../../src/seal/pdf/reading/index.ts'
import { type Desk, openDesk } from '../../desk.ts'
import { emptySignature, fill, makePaper, makeSelfSigned, opensslSigner, setField, sign, update } from './signed-pdf.ts'

vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 })

const examining: PdfExamining = {
  trust: { certificates: [], fingerprints: [] },
  policy: anyAlgorithm,
  at: new Date('2026-12-01T00:00:00Z'),
  file: 'report.pdf',
}

let desk: Desk
let clear = () => {}
afterAll(() => clear())
let signer: ReturnType<typeof opensslSigner>
let paper: Uint8Array

beforeAll(async () => {
  desk = openDesk((dispose) => {
    clear = dispose
  })
  makeSelfSigned(desk, 'bench')
  signer = opensslSigner(desk, 'bench', '-cades')
  paper = await makePaper({ fields: { result: 'passed', remark: '', 'page.remark': '' } })
})

describe('fields that a signature locks (FieldMDP, ISO 32000-1, 12.8.2.4)', () => {
  const reference = (parameters: string) =>
    `/Reference [<< /Type /SigRef /TransformMethod /FieldMDP /TransformParams << /Type /TransformParams /V /1.2 ${parameters} >> >>] `
  const changesOf = async (parameters: string, field: string, level?: 1 | 2 | 3) => {
    const more = level === undefined ? reference(parameters) : ''
    const signed = await sign(paper, { sign: signer, more, ...(level === undefined ? {} : { level }) })
    const [one] = examinePdfSignatures(setField(signed, field, 'no codes'), examining)
    expect(one?.signature).toMatchObject({ state: 'holds', covers: 'revision' })
    return (one?.changes ?? []).filter(({ kind }) => kind === 'form-value').map(({ effect }) => effect)
  }

  // A field that was left empty and is filled in is for a person to see, unless it was locked.
  test.each([
    ['/Action /All', 'remark', 'seen'],
    ['/Action /Include /Fields [(remark)]', 'remark', 'seen'],
    ['/Action /Include /Fields [(result)]', 'remark', 'unclear'],
    ['/Action /Include /Fields []', 'remark', 'unclear'],
    ['/Action /Exclude /Fields [(remark)]', 'remark', 'unclear'],
    ['/Action /Exclude /Fields [(result)]', 'remark', 'seen'],
    ['/Action /Include /Fields [(rem)]', 'remark', 'unclear'],
    // Nobody can tell what a rule that is none locks.
    ['/Action /Most', 'remark', 'seen'],
    ['', 'remark', 'seen'],
  ])('%s: %s filled in is %s', async (parameters, field, effect) => {
    expect(await changesOf(parameters, field)).toEqual([effect])
  })

  test("the author's leave to fill in fields is none for one that is locked", async () => {
    const allowing = `/Reference [<< /Type /SigRef /TransformMethod /DocMDP /TransformParams << /Type /TransformParams /V /1.2 /P 2 >> >> << /Type /SigRef /TransformMethod /FieldMDP /TransformParams << /Type /TransformParams /V /1.2 /Action /Include /Fields [(remark)] >> >>] `
    const signed = await sign(paper, { sign: signer, more: allowing })
    const effects = ['remark', 'result'].map((field) => {
      const [one] = examinePdfSignatures(setField(signed, field, 'no codes'), examining)
      return one?.changes.filter(({ kind }) => kind === 'form-value').map(({ effect }) => effect)
    })
    expect(effects).toEqual([['seen'], ['unclear']])
  })
})

describe('a file that is encrypted', () => {
  const encrypt = (user: string, ...options: string[]): Uint8Array => {
    desk.put('open.pdf', paper)
    desk.run('qpdf', ...options, '--encrypt', user, 'owner', '256', '--', 'open.pdf', 'closed.pdf')
    return new Uint8Array(desk.get('closed.pdf'))
  }
  const signEncrypted = async (pdf: Uint8Array) => {
    const text = Buffer.from(pdf).toString('latin1')
    const encryption = /\/Encrypt (\d+ 0 R)/.exec(text)?.[1] ?? ''
    const identifier = /\/ID ?(\[[^\]]*\])/.exec(text)?.[1] ?? '[]'
    const room = 4000
    const added = update(pdf, new Map([[900, emptySignature(room)]]), `/Encrypt ${encryption} /ID ${identifier} `)
    return fill(added, { sign: signer }, room)
  }

  test('and wants a password: whatever was signed is doubtful, not broken, and it says why', async () => {
    const signed = await signEncrypted(encrypt('of the shop', '--object-streams=generate'))
    const [one, ...others] = examinePdfSignatures(signed, examining)
    expect(others).toEqual([])
    expect(one?.signature).toMatchObject({
      state: 'doubtful',
      code: 'structure',
      text: 'The file was signed, and how it is built cannot be followed (byte 0: its objects are encrypted)',
    })
  })

  test('and opens without one: a signature that no field holds is found out as in any file', async () => {
    const [one] = examinePdfSignatures(await signEncrypted(encrypt('', '--object-streams=generate')), examining)
    expect(one?.signature).toMatchObject({ state: 'broken', code: 'range-no-revision', field: null })
  })

  test('and not signed has no signature', () => {
    expect(examinePdfSignatures(encrypt('', '--object-streams=generate'), examining)).toEqual([])
    expect(examinePdfSignatures(encrypt('', '--object-streams=disable'), examining)).toEqual([])
  })
})

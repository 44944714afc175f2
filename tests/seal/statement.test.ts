/** The form for a court: complete, honest about what a seal does not show, and never drawn up for a broken one. */
import { describe, expect, test } from 'vitest'
import { readReportFonts } from '../../src/io/shipped.ts'
import { renderStatementPdf } from '../../src/report/statement-pdf.ts'
import { renderStatement } from '../../src/report/statement-text.ts'
import { drawUpStatement, type StatementSource } from '../../src/seal/statement.ts'
import { makePart, makeSeal, signer } from '../checks/seal/examined-seal.ts'

const source: StatementSource = {
  bag: 'RO 4471 sealed',
  files: [
    { path: 'data/scan-1.pdf', original: 'scan 1.pdf', bytes: 12345, sha256: 'a1'.repeat(32), sha512: 'b2'.repeat(64) },
    { path: 'data/invoice.pdf', original: 'invoice.pdf', bytes: 55, sha256: 'c3'.repeat(32), sha512: 'd4'.repeat(64) },
  ],
  manifestDigest: 'e5'.repeat(32),
  baggedOn: '2026-10-30',
  tools: ['witnessmark 1.2.3', 'OpenSSL 3.0.1'],
  examination: makeSeal(),
  examined: '2026-11-25T10:00:00Z',
  commands: ['sha256sum -c manifest-sha256.txt'],
}
const textOf = (rest: Partial<StatementSource> = {}) =>
  renderStatement(drawUpStatement({ ...source, ...rest }), { width: 200, color: false })

describe('the statement', () => {
  test('names every file with both digests, the manifest, the signer, the stamp, the tools and the commands', () => {
    const text = textOf()
    const wanted = [
      ...source.files.flatMap(({ original, sha256, sha512, bytes }) => [original, sha256, sha512, String(bytes)]),
      'data/scan-1.pdf',
      source.manifestDigest,
      signer.subject,
      signer.fingerprint,
      '2026-10-30T09:00:05Z',
      ...source.tools,
      ...source.commands,
      source.examined,
    ]
    for (const one of wanted) expect(text).toContain(one)
  })

  // 28 U.S.C. 1746: the two forms of declaration, from memory.
  test('has the declarations of 28 U.S.C. 1746 and names the rules that it is made for', () => {
    const text = textOf()
    expect(text).toContain('I declare under penalty of perjury that the foregoing is true and correct.')
    expect(text).toContain(
      'I declare under penalty of perjury under the laws of the United States of America that the foregoing is true and correct.',
    )
    for (const rule of ['902(11)', '902(13)', '902(14)', '803(6)']) expect(text).toContain(rule)
  })

  test('defers to counsel and local law, and says what the seal does not show', () => {
    const text = textOf()
    expect(text).toContain('It is not legal advice')
    expect(text).toContain('ask counsel')
    expect(text).toContain('local law')
    expect(text).toContain('that none was left out of the packet')
    expect(text).toContain('not an accusation')
  })

  test('says that nobody vouches for the time, or for the signer, where that is so', () => {
    const examination = makeSeal([makePart('stamp', 'absent'), makePart('signer', 'doubtful')], { stamps: [] })
    const text = textOf({ examination })
    expect(text).toContain('No time-stamp authority vouches for the time')
    expect(text).toContain('no authority but the signer names the time')
    expect(text).toContain('Who the signer is:')
    expect(textOf()).not.toContain('Who the signer is:')
  })

  test.each(['structure', 'files', 'signature', 'signer', 'stamp', 'renewal'] as const)(
    'is not drawn up where the part "%s" is broken',
    (part) => {
      const examination = makeSeal([makePart(part, 'broken', { text: 'Something moved' })])
      expect(() => textOf({ examination })).toThrow(/nothing can be certified: Something moved/)
    },
  )

  test('is not drawn up for a bag without a seal', () => {
    expect(() => textOf({ examination: makeSeal([], { form: 'bag' }) })).toThrow(/not sealed/)
  })

  test('neutralises what a name could do to a terminal', () => {
    const [file] = source.files
    if (file === undefined) throw new Error('no file')
    const text = textOf({ files: [{ ...file, original: 'a\u001b[31m\u202eb.pdf' }] })
    expect(text).not.toMatch(/[\u001b\u202e]/)
  })

  test('is the same PDF each time, with the words of the text', async () => {
    const options = { fonts: await readReportFonts(), day: '2026-11-25', subject: 'RO 4471 sealed' }
    const make = () => renderStatementPdf(drawUpStatement(source), options)
    const [one, two] = [await make(), await make()]
    expect(Buffer.from(one).equals(Buffer.from(two))).toBe(true)
    expect(new TextDecoder('latin1').decode(one.subarray(0, 5))).toBe('%PDF-')
    const { getDocument } = await import('pdfjs-dist/legacy/build/pdf.mjs')
    const document = await getDocument({ data: one }).promise
    const pages = await Promise.all(
      Array.from({ length: document.numPages }, async (_, index) => {
        const content = await (await document.getPage(index + 1)).getTextContent()
        return content.items.map((item) => ('str' in item ? item.str : '')).join(' ')
      }),
    )
    expect(pages.join(' ')).toContain(source.manifestDigest)
    expect(pages.join(' ')).toContain('under penalty of perjury')
  })
})

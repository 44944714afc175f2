/** A signed record in a packet, from its bytes to the report, the text of the file and the explanation. Invented data. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { loadRulebook, loadVocabulary } from '../cli/shipped-data.ts'
import { pdfSignatureHolds } from '../src/checks/documents/pdf-signature-holds.ts'
import { explainCheck } from '../src/explain/explanation.ts'
import { fileSystem } from '../src/io/files.ts'
import { type ReadingPool, startReading } from '../src/io/reading-process.ts'
import { renderDocumentText } from '../src/report/document-text.ts'
import { renderExplanation } from '../src/report/explanation-text.ts'
import { checkPacket, readDocument, readPacket } from '../src/review.ts'
import { listErrors, validateReport } from './findings/schemas.ts'
import { openDesk } from './seal/desk.ts'
import { makePaper, makeSelfSigned, opensslSigner, setField, sign } from './seal/pdf/reading/signed-pdf.ts'

vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 })

let folder: string
let pool: ReadingPool
const clearing: (() => void)[] = []

beforeAll(async () => {
  const desk = openDesk((dispose) => clearing.push(dispose))
  makeSelfSigned(desk, 'bench')
  const signed = await sign(await makePaper({ fields: { result: 'failed' } }), { sign: opensslSigner(desk, 'bench') })
  folder = mkdtempSync(join(tmpdir(), 'witnessmark-signed-'))
  clearing.push(() => rmSync(folder, { recursive: true }))
  writeFileSync(join(folder, 'whole.pdf'), signed)
  writeFileSync(join(folder, 'changed.pdf'), setField(signed, 'result', 'passed'))
  pool = startReading()
})

afterAll(async () => {
  await pool.close()
  for (const clear of clearing) clear()
})

const outside = () => ({ storage: fileSystem, read: pool.read })
const load = async () => {
  const [rulebook, vocabulary] = await Promise.all([loadRulebook(), loadVocabulary(undefined)])
  return { rulebook, vocabulary, reviewed: '2026-12-01' }
}

describe('a packet with a record that was changed after it was signed', () => {
  test('fails, and shows what was signed and what is there now', async () => {
    const report = await checkPacket(folder, outside(), await load())
    const findings = report.findings.filter(({ check }) => check === 'pdf-signature-holds')
    expect(findings.map(({ verdict, message, data }) => [data.file, verdict, message]).sort()).toEqual([
      ['changed.pdf', 'fail', 'changed'],
      ['changed.pdf', 'not-checked', 'nobody-trusted'],
      ['whole.pdf', 'not-checked', 'nobody-trusted'],
      ['whole.pdf', 'pass', 'holds'],
    ])
    expect(findings.find(({ message }) => message === 'changed')?.reason).toMatch(/“failed”\. Now: “passed”\.$/)
    expect(listErrors(validateReport, report)).toEqual([])
  })

  test('is explained step by step', async () => {
    const options = await load()
    const packet = await readPacket(folder, outside(), { ...options, algorithms: options.rulebook.algorithms })
    const text = renderExplanation(explainCheck(packet, pdfSignatureHolds, options.rulebook), {
      width: 100,
      color: false,
    })
    expect(text).toMatch(/The signature covers the first\s+\d+ of\s+the \d+\s+bytes/)
    expect(text).toContain('the field result was changed')
  })

  test('its text tells whose signature it is and what came after', async () => {
    const { vocabulary } = await load()
    const document = await readDocument(join(folder, 'changed.pdf'), outside(), vocabulary)
    const text = renderDocumentText(document, { width: 100, color: false })
    expect(text).toContain('Signature Signature1')
    expect(text).toContain('CN=bench of Larkfield Sensor Works')
    expect(text).toContain('the field result was changed (SEEN): “failed” then, “passed” now')
  })
})

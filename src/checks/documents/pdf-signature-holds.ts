/** Signatures inside PDF files: does each hold, and does the file still say what was signed? */
import type { DocumentFacts } from '../../facts/document.ts'
import type { PdfChange, PdfSignature } from '../../facts/pdf-signature.ts'
import type { Box, FilePlace } from '../../facts/reading.ts'
import type { Check, Outcome, WorkingStep } from '../check.ts'

/** Of one signature; the report lists all under the file. */
const mostChanges = 6

export const pdfSignatureHolds: Check = {
  id: 'pdf-signature-holds',
  group: 'documents',
  claim:
    'Every signature in a PDF holds, by somebody whom the reviewer trusts, and the file still shows what was signed.',
  messages: {
    holds: { state: 'met', text: '{file}: {signature} holds and covers the whole file. Signer: {signer}.' },
    'holds-beneath': {
      state: 'met',
      text: '{file}: {signature} holds, and what was added after it ({additions}) changes nothing that was signed. Signer: {signer}.',
    },
    broken: { state: 'unmet', text: '{file}: {signature} does not hold: {because}.' },
    changed: {
      state: 'unmet',
      text: '{file} shows something else than what was signed ({signature}): {what}. When signed: {before}. Now: {after}.',
    },
    'added-to': {
      state: 'unmet',
      text: '{file} was added to after {signature}: {what}. When signed: {before}. Now: {after}. See whether it changes what the file says.',
    },
    'signer-not-acceptable': {
      state: 'unmet',
      text: '{file}: {signature} holds, and the certificate of its signer does not do: {because}. Signer: {signer}.',
    },
    revoked: {
      state: 'unmet',
      text: '{file}: the certificate behind {signature} was revoked: {because}. Signer: {signer}.',
    },
    'signer-not-trusted': {
      state: 'undecided',
      text: '{file}: {signature} holds, and {because}. Signer: {signer}, fingerprint (SHA-256) {fingerprint}.',
    },
    'revocation-open': {
      state: 'undecided',
      text: '{file}: whether the certificate behind {signature} was revoked cannot be told: {because}. Signer: {signer}.',
    },
    'not-settled': { state: 'undecided', text: '{file}: whether {signature} holds cannot be told: {because}.' },
    stripped: { state: 'undecided', text: '{file}: {because}.' },
    'nobody-trusted': {
      state: 'undecided',
      text: '{file}: nobody has said whom to trust, so that it cannot be told whose {signature} is. Signer by its certificate: {signer}, fingerprint (SHA-256) {fingerprint}.',
    },
    'not-examined': { state: 'undecided', text: '{file}: {signature} was not examined: {because}.' },
    'not-signed': { state: 'undecided', text: 'No PDF of the packet is signed.' },
  },
  parameters: {},
  remedy:
    'The file as it was signed, from whoever signed it; for a signer who is not known, the fingerprint of the certificate by a way that does not come with the packet.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a record under its own signature that says what it did not sign',
    shop: 'a record that proves less than it seems to',
    insurer: 'relying on words that nobody signed',
  },
  collect: [],
  run(packet) {
    const outcomes = packet.documents.flatMap((document) =>
      (document.signatures ?? []).flatMap((signature) => judgeSignature(document, signature)),
    )
    return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'not-signed', data: {}, evidence: [] }]
  },
}

function judgeSignature(document: DocumentFacts, signature: PdfSignature): Outcome[] {
  const { state, code, text, changes } = signature
  const common = describe(document, signature)
  const because = lower(text)
  if (state === 'broken') return [outcome('unmet', 'broken', common, { because })]
  const told = changes.filter(({ effect }) => effect === 'seen' || effect === 'unclear')
  const after = told.slice(0, mostChanges).map((change) => describeChange(document, change, common, signature))
  if (state === 'doubtful') return [...after, outcome('undecided', doubts[code] ?? 'not-settled', common, { because })]
  const held = told.length > 0 ? after : [describeHolding(signature, common)]
  return [...held, ...judgeSigner(signature, common)]
}

const doubts: Readonly<Record<string, string>> = { stripped: 'stripped', 'not-judged': 'not-examined' }

interface Common {
  data: Record<string, string>
  evidence: FilePlace[]
  working: WorkingStep[]
}

const outcome = (
  state: Outcome['state'],
  message: string,
  { data, evidence, working }: Common,
  more: Record<string, string> = {},
): Outcome => ({ state, message, data: { ...data, ...more }, evidence, working })

/** Without the capital of a sentence's first word, unless that is a name in capitals. */
const lower = (text: string): string => text.replace(/^[A-Z](?=[a-z ])/, (letter) => letter.toLowerCase())

const kinds = {
  approval: 'the signature',
  certification: "the author's signature",
  'time-stamp': 'the time stamp',
} as const

function describe({ file, bytes }: DocumentFacts, signature: PdfSignature): Common {
  const { field, kind, signer } = signature
  return {
    data: {
      file,
      signature: field === null ? kinds[kind] : `${kinds[kind]} ${field}`,
      signer: signer?.subject ?? 'not told',
      fingerprint: signer?.fingerprint ?? 'not told',
    },
    evidence: [{ file, text: '' }],
    working: explain(signature, bytes),
  }
}

function explain(
  { coveredBytes, text, trust, revocation, claimedTime, stamp, changes }: PdfSignature,
  bytes: number,
): WorkingStep[] {
  const steps: WorkingStep[] = []
  const add = (text: string, data: WorkingStep['data']) => steps.push({ text, data })
  if (coveredBytes !== null)
    add('The signature covers the first {covered} of the {bytes} bytes of the file, but for its own place.', {
      covered: coveredBytes,
      bytes,
    })
  add('{found}.', { found: text })
  if (claimedTime !== null) add('It was made at {time}, says the signer.', { time: claimedTime })
  if (stamp !== null) add('A time stamp says that it was there at {time}.', { time: stamp.time })
  if (trust !== null) add('Signer: {found}.', { found: trust.text })
  if (revocation !== null) add('Revocation: {found}.', { found: revocation.text })
  for (const { text, effect } of changes) add('After it, {what}: {effect}.', { what: text, effect: effects[effect] })
  return steps
}

const effects: Readonly<Record<PdfChange['effect'], string>> = {
  harmless: 'nobody who reads the file sees it',
  permitted: 'of a kind that signing allows for',
  unclear: 'it may change what a reader sees',
  seen: 'a reader sees something else than what was signed',
}

function describeChange(
  { file }: DocumentFacts,
  change: PdfChange,
  common: Common,
  { coveredBytes }: PdfSignature,
): Outcome {
  const { effect, page, text, before, after, places } = change
  const side = (words: string | null, box: Box | null | undefined): FilePlace => ({
    file,
    ...(page === null ? {} : { page, ...(box ? { box } : {}) }),
    text: words ?? '',
  })
  const place = side(after, places?.after)
  const data = { what: text, before: quote(before), after: quote(after) }
  const message = effect === 'seen' ? 'changed' : 'added-to'
  if (before === null && after === null) return outcome('unmet', message, { ...common, evidence: [place] }, data)
  const end = coveredBytes === null ? {} : { end: coveredBytes }
  const one = { label: 'when signed', ...side(before, places?.before), ...end }
  const contrast = { what: text, one, other: { label: 'as it is', ...place } }
  return { ...outcome('unmet', message, { ...common, evidence: [place] }, data), contrasts: [contrast] }
}

const quote = (words: string | null): string => (words === null || words === '' ? 'no words of it' : `“${words}”`)

function describeHolding({ covers, changes }: PdfSignature, common: Common): Outcome {
  if (covers === 'whole') return outcome('met', 'holds', common)
  const additions = changes.length === 0 ? 'nothing that is known of' : changes.map(({ text }) => text).join('; ')
  return outcome('met', 'holds-beneath', common, { additions })
}

function judgeSigner({ trust, revocation }: PdfSignature, common: Common): Outcome[] {
  if (revocation?.state === 'broken') return [outcome('unmet', 'revoked', common, { because: lower(revocation.text) })]
  if (trust === null) return []
  const because = lower(trust.text)
  if (trust.state === 'unexamined') return [outcome('undecided', 'nobody-trusted', common)]
  if (trust.state === 'broken') return [outcome('unmet', 'signer-not-acceptable', common, { because })]
  if (trust.state === 'doubtful') return [outcome('undecided', 'signer-not-trusted', common, { because })]
  if (revocation?.state !== 'doubtful') return []
  return [outcome('undecided', 'revocation-open', common, { because: lower(revocation.text) })]
}

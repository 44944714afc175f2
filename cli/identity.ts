/** `witnessmark identity create|show|request|adopt FILE` */
import {
  adoptCertificates,
  createIdentity,
  createRequest,
  describeCertificate,
  formatPem,
  holdSubject,
  type Identity,
  type IdentitySubject,
  identityKeyKinds,
  makeSigner,
  packPkcs12,
  readCertificates,
  subjectOf,
  wantsPassphrase,
} from '../src/index.ts'
import { now } from '../src/io/clock.ts'
import type { CommandDeclaration } from './arguments.ts'
import { refuseExisting } from './deliver.ts'
import {
  inFile,
  type KeyOptions,
  keyOptions,
  openIdentityFile,
  readIdentityFile,
  writeNew,
  writeSecret,
} from './identity-file.ts'
import { renderIdentity } from './identity-text.ts'
import { choosePassphrase } from './passphrase.ts'
import { type ExitStatus, exit, type Terminal } from './terminal.ts'
import { UserError } from './user-error.ts'

/** What an identity is created with when nothing is said: three years. */
const usualDays = 1095

export const identityCommand: CommandDeclaration = {
  name: 'identity',
  summary: 'Create or show the identity that signs your seals; have an authority vouch for it.',
  operands: 'ACTION FILE [ANSWER]',
  least: 2,
  most: 3,
  details: [
    'An identity is a private key and a certificate that says whose it is, kept in FILE (PKCS#12) under a passphrase.',
    '',
    '  identity create FILE --name NAME      make one; its certificate vouches for itself',
    '  identity show FILE                    say whose it is, until when, and its fingerprint',
    '  identity request FILE --output CSR    write a request (PKCS#10) for an authority to certify the same key',
    '  identity adopt FILE ANSWER --output NEW   join the authority’s certificates to the key, in a new file',
    '',
    'FILE may be of any program or authority: PKCS#12, or PEM of certificate and key. Whoever checks your seals has to',
    'know your certificate, or its issuer’s, from you: hand it over with --certificate, and read out the fingerprint.',
    'Nothing is ever replaced. The passphrase is asked for; it stands neither on the command line nor in the environment.',
    '',
    'Exit status: 0 when it was done; 2 when not.',
  ].join('\n'),
  options: {
    name: { type: 'string', value: 'NAME', help: 'create: who signs, a person or a desk.' },
    organization: { type: 'string', value: 'NAME', help: 'create: the shop or company.' },
    unit: { type: 'string', value: 'NAME', help: 'create: the part of it.' },
    country: { type: 'string', value: 'CC', help: 'create: its country, two letters.' },
    email: { type: 'string', value: 'ADDRESS', help: 'create: where to reach who signs.' },
    kind: { type: 'string', value: 'KIND', help: 'create: rsa-3072 (read everywhere; usual) or ecdsa-p256 (small).' },
    days: { type: 'string', value: 'N', help: `create: days that it is valid, 1 to 3650; ${usualDays} when left out.` },
    output: { type: 'string', value: 'FILE', help: 'request, adopt: the file to write.' },
    certificate: { type: 'string', value: 'FILE', help: 'Write the certificate alone (PEM), to hand to others.' },
    ...keyOptions,
  },
}

export interface IdentityOptions extends KeyOptions {
  name?: string
  organization?: string
  unit?: string
  country?: string
  email?: string
  kind?: string
  days?: string
  output?: string
  certificate?: string
}

const optionsOf = {
  create: ['name', 'organization', 'unit', 'country', 'email', 'kind', 'days', 'certificate', 'passphrase-file'],
  show: ['key', 'certificate', 'passphrase-file'],
  request: ['key', 'output', 'passphrase-file'],
  adopt: ['key', 'output', 'certificate', 'passphrase-file'],
} as const satisfies Record<string, readonly (keyof IdentityOptions)[]>
type Action = keyof typeof optionsOf

const isAction = (word: string): word is Action => Object.hasOwn(optionsOf, word)

/** Does one of the four. Throws what `explainError` explains. */
export async function runIdentity(
  operands: readonly string[],
  options: IdentityOptions,
  terminal: Terminal,
): Promise<ExitStatus> {
  const [action = '', file = '', answer] = operands
  holdAction(action, answer, options)
  // Before a passphrase is asked for.
  for (const path of [options.output, options.certificate]) if (path !== undefined) await refuseExisting(path)
  switch (action) {
    case 'create':
      await create(file, options, terminal)
      break
    case 'show':
      await show(file, options, terminal)
      break
    case 'request':
      await request(file, options, terminal)
      break
    case 'adopt':
      await adopt(file, answer ?? '', options, terminal)
  }
  return exit.fine
}

function holdAction(action: string, answer: string | undefined, options: IdentityOptions): asserts action is Action {
  if (!isAction(action))
    throw new UserError(
      `"witnessmark identity" cannot ${action}`,
      null,
      `Write one of ${Object.keys(optionsOf).join(', ')} before the file.`,
    )
  const foreign = Object.keys(options).find((name) => !optionsOf[action].some((own) => own === name))
  if (foreign !== undefined)
    throw new UserError(
      `"identity ${action}" has no option --${foreign}`,
      null,
      `Leave it out. Its options are ${optionsOf[action].map((name) => `--${name}`).join(', ')}.`,
    )
  if (action === 'adopt' && answer === undefined)
    throw new UserError(
      '"identity adopt" needs the authority’s answer',
      null,
      'Write: witnessmark identity adopt FILE ANSWER --output NEW',
    )
  if (action !== 'adopt' && answer !== undefined)
    throw new UserError(
      `"identity ${action}" has no use for: ${answer}`,
      null,
      'Write a path with spaces in quotes; a key of its own is given with --key.',
    )
}

async function create(file: string, options: IdentityOptions, terminal: Terminal): Promise<void> {
  await refuseExisting(file)
  const subject = readSubjectOptions(options)
  const kind = readKind(options.kind)
  const days = readDays(options.days)
  const passphrase = await choosePassphrase(options, subject, terminal)
  const identity = await createIdentity(kind, subject, { now: now(), days })
  await writeSecret(file, await packPkcs12(identity, subject.commonName, passphrase))
  await present(file, identity, options, terminal)
}

function readSubjectOptions({ name, organization, unit, country, email }: IdentityOptions): IdentitySubject {
  if (name === undefined) throw new UserError('"identity create" needs to know who signs', null, 'Give --name NAME.')
  const subject = {
    commonName: name,
    ...(organization === undefined ? {} : { organization }),
    ...(unit === undefined ? {} : { unit }),
    ...(country === undefined ? {} : { country }),
    ...(email === undefined ? {} : { email }),
  }
  holdSubject(subject)
  return subject
}

function readKind(wanted: string = 'rsa-3072') {
  const known = identityKeyKinds.find((kind) => kind === wanted)
  if (known !== undefined) return known
  throw new UserError(`there is no kind of key "${wanted}"`, null, `Kinds are ${identityKeyKinds.join(', ')}.`)
}

function readDays(wanted: string = String(usualDays)): number {
  if (/^\d{1,4}$/.test(wanted) && Number(wanted) >= 1 && Number(wanted) <= 3650) return Number(wanted)
  throw new UserError(`--days ${wanted} is no such number`, null, 'Give a whole number of days, 1 to 3650.')
}

/** A file of certificates alone is shown, too, to whoever was handed one. */
async function show(file: string, options: IdentityOptions, terminal: Terminal): Promise<void> {
  const bytes = await readIdentityFile(file)
  if (options.key !== undefined || mayHoldKey(bytes)) {
    const { identity } = await openIdentityFile(file, options, terminal)
    return present(file, identity, options, terminal)
  }
  const [certificate, ...issuers] = await inFile(file, () => readCertificates(bytes))
  if (certificate !== undefined) await present(null, { certificate, issuers }, options, terminal)
}

const mayHoldKey = (bytes: Uint8Array): boolean =>
  wantsPassphrase([bytes]) || Buffer.from(bytes).includes('PRIVATE KEY-----')

async function request(file: string, options: IdentityOptions, terminal: Terminal): Promise<void> {
  const { identity } = await openIdentityFile(file, options, terminal)
  const { key, certificate } = identity
  const subject = subjectOf(certificate)
  if (subject === null)
    throw new UserError(
      `the certificate in ${file} names nobody`,
      file,
      'Create an identity with --name, and request a certificate for that.',
    )
  const text = formatPem('CERTIFICATE REQUEST', await inFile(file, () => createRequest(key, subject)))
  if (options.output === undefined) return terminal.print(text)
  await writeNew(options.output, text)
  terminal.tell(`Send ${options.output} to the authority; "identity adopt" takes its answer.\n`)
}

async function adopt(file: string, answer: string, options: IdentityOptions, terminal: Terminal): Promise<void> {
  const { output } = options
  if (output === undefined)
    throw new UserError('"identity adopt" needs a new file to write', null, 'Give --output NEW.')
  const bytes = await readIdentityFile(answer)
  const certificates = await inFile(answer, () => readCertificates(bytes))
  const opened = await openIdentityFile(file, options, terminal)
  const adopted = await inFile(answer, async () => adoptCertificates(opened.identity, certificates, now()))
  await inFile(answer, async () => makeSigner(adopted, now()))
  const subject = subjectOf(adopted.certificate) ?? { commonName: output }
  const passphrase = opened.passphrase ?? (await choosePassphrase(options, subject, terminal))
  await writeSecret(output, await packPkcs12(adopted, subject.commonName, passphrase))
  await present(output, adopted, options, terminal)
}

/** Says what an identity is, and hands its certificate out where that is wanted. */
async function present(
  keyFile: string | null,
  { certificate, issuers }: Pick<Identity, 'certificate' | 'issuers'>,
  options: IdentityOptions,
  terminal: Terminal,
): Promise<void> {
  const chain = [certificate, ...issuers]
  if (options.certificate !== undefined) await writeNew(options.certificate, formatPem('CERTIFICATE', certificate))
  const [description, ...above] = chain.map((der) => describeCertificate(der))
  if (description !== undefined) await terminal.print(renderIdentity(description, above, keyFile, now()))
}

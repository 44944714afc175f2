/** `archive hold`, `holds`, `release`, `custodian`, `dispose`, `agree` */
import { archives, formatJson, makeSigner, readCertificates, renderHolds } from '../../src/index.ts'
import { now } from '../../src/io/clock.ts'
import { deliver } from '../deliver.ts'
import { inFile, type KeyOptions, keyOptions, openIdentityFile, readIdentityFile } from '../identity-file.ts'
import { loadRulebook, type RulebookChoice, rulebookOptionsFor } from '../shipped-data.ts'
import { type ExitStatus, exit, type Terminal } from '../terminal.ts'
import { UserError } from '../user-error.ts'
import { type Action, actorOptions, reasonOptions, sheetOptions } from './action.ts'
import { lookOf, readSearch, type SheetChoice, searchOptions } from './look.ts'
import { type ActorOptions, inArchive, readActor, readReasons } from './place.ts'

const scopeNames = ['vin', 'job', 'claim', 'shop', 'received-from', 'received-to', 'words'] as const
const scopeOptions = Object.fromEntries(
  scopeNames.flatMap((name) => {
    const option = searchOptions[name]
    return option === undefined ? [] : [[name, option]]
  }),
)

async function hold(
  [folder = '', ...accessions]: readonly string[],
  options: ActorOptions & Record<string, string | true>,
  terminal: Terminal,
): Promise<ExitStatus> {
  const reasons = readReasons(options, terminal)
  const { matter } = options
  if (typeof matter !== 'string')
    throw new UserError('a hold needs the name of its matter', null, 'Write --matter NAME.')
  const scope = { ...readSearch(options), ...(accessions.length === 0 ? {} : { accessions }) }
  if (Object.keys(scope).length === 0)
    throw new UserError(
      'a hold needs to know which packets it is for',
      null,
      'Name their numbers, or --vin, --job, --claim, …',
    )
  const placed = await inArchive(folder, (archive) => archives.placeHold(archive, reasons, matter, scope))
  await terminal.print(
    `${placed.hold} is in force. Packets that it holds now: ${placed.accessions.length}; those that fit later are held, too.\n`,
  )
  for (const accession of placed.accessions) await terminal.print(`  ${accession}\n`)
  return exit.fine
}

async function holds(folder: string, options: SheetChoice, terminal: Terminal): Promise<ExitStatus> {
  const look = lookOf(options, terminal)
  const found = await inArchive(folder, (archive) => archives.listHolds(archive))
  await deliver(options.json ? formatJson(found) : renderHolds(found, look), options.output, terminal)
  return exit.fine
}

async function release([folder = '', name = '']: readonly string[], options: ActorOptions, terminal: Terminal) {
  const reasons = readReasons(options, terminal)
  await inArchive(folder, (archive) => archives.releaseHold(archive, reasons, name))
  await terminal.print(`${name} is released. Packets that another hold is for stay held.\n`)
  return exit.fine
}

async function custodian([folder = '', file = '']: readonly string[], options: ActorOptions, terminal: Terminal) {
  const actor = readActor(options, terminal)
  const [certificate] = await inFile(file, async () => readCertificates(await readIdentityFile(file)))
  if (certificate === undefined)
    throw new UserError(`${file} holds no certificate`, file, 'Give a certificate, PEM or DER.')
  const { name } = await inArchive(folder, (archive) => archives.nameCustodian(archive, actor, certificate))
  await terminal.print(`${name} may propose and agree to disposals.\n`)
  return exit.fine
}

interface DisposalOptions extends KeyOptions, RulebookChoice, Omit<ActorOptions, 'by'> {
  identity?: string
}

/** Whose signature it is, and the rules it is done by. Throws UserError for an identity that cannot sign today. */
async function readSigning(options: DisposalOptions, terminal: Terminal) {
  const { identity: file } = options
  if (file === undefined)
    throw new UserError('a disposal is signed', null, 'Write --identity FILE, as "witnessmark identity" makes it.')
  const { retention, algorithms } = await loadRulebook(options)
  const { identity } = await openIdentityFile(file, options, terminal)
  const signer = await inFile(file, async () => makeSigner(identity, now()))
  return { signer, rules: { retention, algorithms } }
}

async function dispose([folder = '', ...accessions]: readonly string[], options: DisposalOptions, terminal: Terminal) {
  // Who acts is told by the certificate alone: a name beside it could only contradict it.
  const { why, authority } = readReasons({ ...options, by: 'the signer' }, terminal)
  const { signer, rules } = await readSigning(options, terminal)
  const { proposal } = await inArchive(folder, (archive) =>
    archives.proposeDisposal(archive, { signer, why, authority }, accessions, rules),
  )
  await terminal.print(
    `Entry ${proposal} proposes to destroy ${accessions.join(', ')}. Nothing is destroyed until another custodian agrees:\n  witnessmark archive agree ${folder} ${proposal} --identity FILE\n`,
  )
  return exit.fine
}

async function agree([folder = '', text = '']: readonly string[], options: DisposalOptions, terminal: Terminal) {
  if (!/^\d{1,15}$/.test(text))
    throw new UserError(`${text} is no number of an entry`, null, 'Give the number that "archive dispose" printed.')
  const { signer, rules } = await readSigning(options, terminal)
  const { accessions, destroyed } = await inArchive(folder, (archive) =>
    archives.agreeToDisposal(archive, signer, Number(text), rules),
  )
  await terminal.print(
    `${accessions.join(', ')}: destroyed. Contents that nothing else holds, and that are gone: ${destroyed}. The log keeps the tombstones.\n`,
  )
  return exit.fine
}

const signingOptions = {
  identity: {
    type: 'string',
    value: 'FILE',
    help: 'Who signs, and so who acts: an identity, as "witnessmark identity" makes it.',
  },
  ...keyOptions,
  ...rulebookOptionsFor('how long packets are kept, and the algorithms that signatures may rest on,'),
} as const

export const holdActions: Record<string, Action> = {
  hold: {
    operands: 'ARCHIVE [NUMBER…] --matter NAME',
    least: 1,
    most: 10_000,
    summary: 'keep packets of a scope, those too that come later',
    options: {
      ...actorOptions,
      ...scopeOptions,
      matter: { type: 'string', value: 'NAME', help: 'What the hold is for: a case, a claim, a letter.' },
    },
    run: (operands, options, terminal) => hold(operands, options, terminal),
  },
  holds: {
    operands: 'ARCHIVE',
    least: 1,
    most: 1,
    summary: 'holds in force',
    options: sheetOptions,
    run: ([folder = ''], options, terminal) => holds(folder, options, terminal),
  },
  release: {
    operands: 'ARCHIVE HOLD',
    least: 2,
    most: 2,
    summary: 'lift a hold',
    options: actorOptions,
    run: (operands, options, terminal) => release(operands, options, terminal),
  },
  custodian: {
    operands: 'ARCHIVE CERTIFICATE',
    least: 2,
    most: 2,
    summary: 'let whoever holds a certificate sign disposals',
    options: actorOptions,
    run: (operands, options, terminal) => custodian(operands, options, terminal),
  },
  dispose: {
    operands: 'ARCHIVE NUMBER…',
    least: 2,
    most: 500,
    summary: 'propose to destroy what is due and not held',
    options: { ...reasonOptions, ...signingOptions },
    run: (operands, options, terminal) => dispose(operands, options, terminal),
  },
  agree: {
    operands: 'ARCHIVE ENTRY',
    least: 2,
    most: 2,
    summary: 'agree, as another custodian, and destroy it',
    options: signingOptions,
    run: (operands, options, terminal) => agree(operands, options, terminal),
  },
}

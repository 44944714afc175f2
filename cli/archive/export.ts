/** `archive export` */
import manifest from '../../package.json' with { type: 'json' }
import { archives, drawEvidence, renderHtml, renderLoadFile, storedPacket } from '../../src/index.ts'
import { type DrawingPool, startDrawing } from '../../src/io/drawing-process.ts'
import { writeBag } from '../bag-output.ts'
import { refuseExisting, refuseOutput } from '../deliver.ts'
import { type KeyOptions, keyOptions, openSigner } from '../identity-file.ts'
import { startProgress } from '../progress.ts'
import { loadRulebook, type RulebookChoice } from '../shipped-data.ts'
import { type ExitStatus, exit, type Terminal } from '../terminal.ts'
import { makeStamp, stampOption } from '../trust.ts'
import { tellUser, UserError } from '../user-error.ts'
import { type Action, actorOptions } from './action.ts'
import { collect, keptSearchOptions, readSearch } from './look.ts'
import { type ActorOptions, inArchive, readActor } from './place.ts'
import { type Prepared, prepareDerived, readRedactions, redactOption } from './redact.ts'

interface ExportOptions extends ActorOptions, KeyOptions, RulebookChoice {
  to?: string
  output?: string
  hold?: string
  redact?: string
  identity?: string
  'time-stamp'?: string
}

async function exportPackets(
  [folder = '', ...accessions]: readonly string[],
  options: ExportOptions & Record<string, string | true>,
  terminal: Terminal,
): Promise<ExitStatus> {
  const actor = readActor(options, terminal)
  const { to, output } = options
  if (to === undefined || to.trim() === '')
    throw new UserError('an export needs to say who gets it', null, 'Write --to NAME.')
  if (output === undefined)
    throw new UserError(
      'an export needs a place to be written to',
      null,
      'Write --output BAG: a folder, or a name that ends in .zip.',
    )
  await refuseOutput(output, folder)
  await refuseExisting(output)
  const choose = readChoice(accessions, options)
  const redact = readRedactions(options.redact)
  const seal = await readSealing(options, terminal)
  return inArchive(folder, async (archive) => {
    const packets = await archives.findForExport(archive, await choose(archive))
    if (packets.length === 0) throw new UserError('no packet fits', null, 'See "witnessmark archive list".')
    const result = await write(archive, actor, { to: to.trim(), output, packets, seal, redact }, terminal)
    await terminal.print(describe(output, to.trim(), packets.length, result))
    if (result.unstamped === null) return exit.fine
    const mend = `Stamp it later: witnessmark stamp ${output} --time-stamp URL`
    terminal.tell(tellUser(new UserError(`signed without a time stamp: ${result.unstamped.message}`, output, mend)))
    return exit.fails
  })
}

/** Which packets are meant: their numbers, a hold, or what is searched for; one of the three. */
function readChoice(accessions: readonly string[], options: ExportOptions & Record<string, string | true>) {
  const search = readSearch(options)
  const { hold } = options
  const ways = [accessions.length > 0, hold !== undefined, Object.keys(search).length > 0].filter((way) => way)
  if (ways.length !== 1)
    throw new UserError(
      ways.length === 0 ? 'an export needs to know which packets are meant' : 'packets are named in one way only',
      null,
      'Name their numbers, or write --hold HOLD, or search for them: --claim, --vin, …',
    )
  return async (archive: archives.Archive): Promise<string[]> => {
    if (accessions.length > 0) return [...accessions]
    if (hold === undefined) return (await collect(archive.db, search)).map(({ accession }) => accession)
    return archives.packetsOfHold(archive, hold)
  }
}

async function readSealing(options: ExportOptions, terminal: Terminal): Promise<archives.ExportSource['seal']> {
  const { identity, 'time-stamp': address } = options
  if (identity === undefined) {
    if (address === undefined) return null
    throw new UserError('a time stamp is over a signature', null, 'Write --identity FILE too.')
  }
  const stamp = address === undefined ? null : makeStamp(address, await loadRulebook(options))
  return { signer: await openSigner(identity, options, terminal), stamp }
}

interface Wanted {
  to: string
  output: string
  packets: readonly archives.ExportPacket[]
  seal: archives.ExportSource['seal']
  redact: ReadonlySet<archives.Redaction>
}

async function write(
  archive: archives.Archive,
  actor: archives.Actor,
  { to, output, packets, seal, redact }: Wanted,
  terminal: Terminal,
): Promise<archives.ExportResult> {
  const drawing = startDrawing()
  const progress = startProgress(terminal)
  let logged: number | null = null
  try {
    const show = (at: number) => progress.show(at, packets.length, packets[at]?.accession ?? '')
    const { outgoing, redaction, replace } =
      redact.size > 0
        ? await prepareDerived(archive, packets, redact, { draw: drawing.draw, show })
        : await prepareAll(archive, packets, drawing, show)
    const reports = new Map(
      packets.flatMap(({ accession, report }) => (report === null ? [] : [[accession, report.value]])),
    )
    return await writeBag(output, (sink) =>
      archives.writeExport(archive, actor, sink, {
        to,
        agent: `witnessmark ${manifest.version}`,
        packets: outgoing,
        loadFile: (files) => Buffer.from(replace(renderLoadFile(files, reports))),
        seal,
        redaction,
        logged: (index) => {
          logged = index
        },
      }),
    )
  } catch (error) {
    if (logged !== null)
      await archives.noteFailedExport(
        archive,
        actor,
        logged,
        packets.map(({ accession }) => accession),
      )
    throw error
  } finally {
    progress.end()
    await drawing.close()
  }
}

async function prepareAll(
  archive: archives.Archive,
  packets: readonly archives.ExportPacket[],
  drawing: DrawingPool,
  show: (at: number) => void,
): Promise<Prepared> {
  const outgoing: archives.OutgoingPacket[] = []
  for (const [at, packet] of packets.entries()) {
    show(at)
    outgoing.push(await prepare(archive, packet, drawing))
  }
  return { outgoing, redaction: null, replace: (text) => text }
}

/** A packet as it is kept, with its last report and the pictures that this rests on. */
async function prepare(
  archive: archives.Archive,
  packet: archives.ExportPacket,
  drawing: DrawingPool,
): Promise<archives.OutgoingPacket> {
  const { name, form, contents: files, report } = packet
  const outgoing = { packet, name, files, left: [] }
  if (report === null) return { ...outgoing, reports: [] }
  const storage = storedPacket({ name, form, files }, archive.outside.storage.objects)
  const pictures = await drawEvidence(name, report.value, { storage, draw: drawing.draw })
  const page = renderHtml(report.value, { pictures })
  const reports = [
    { path: 'report.json', content: report.bytes },
    { path: 'report.html', content: Buffer.from(page) },
  ]
  return { ...outgoing, reports }
}

const describe = (
  output: string,
  to: string,
  packets: number,
  { index, files, bytes, manifest: digest, left }: archives.ExportResult,
): string =>
  [
    `Exported: ${output}`,
    `  For           ${to}`,
    `  Packets       ${packets}`,
    `  Files         ${files}, ${bytes} bytes`,
    ...(left === 0 ? [] : [`  Left out      ${left} files; data/load-file.csv says why`]),
    `  Manifest      SHA-256 ${digest}`,
    `  Custody log   entry ${index}; README.txt tells how it is verified`,
    '',
  ].join('\n')

export const exportAction: Action = {
  operands: 'ARCHIVE [NUMBER…] --to NAME',
  least: 1,
  most: 10_000,
  summary: 'hand copies over, in one bag, with their custody and its proofs',
  options: {
    ...actorOptions,
    ...keptSearchOptions,
    to: { type: 'string', value: 'NAME', help: 'Who gets the export, for the custody log.' },
    output: { type: 'string', value: 'FILE', help: 'Write it to FILE, whole or not at all.' },
    hold: { type: 'string', value: 'HOLD', help: 'The packets of this hold: H-0001.' },
    redact: redactOption,
    identity: { type: 'string', value: 'FILE', help: 'Who signs: an identity, as "witnessmark identity" makes it.' },
    'time-stamp': stampOption,
    ...keyOptions,
  },
  run: (operands, options, terminal) => exportPackets(operands, options, terminal),
}

/** `witnessmark desk ARCHIVE` */
import { everyRole } from '../src/desk/index.ts'
import { readPageFiles } from '../src/io/page-files.ts'
import { actorOptions } from './archive/action.ts'
import { readActor } from './archive/place.ts'
import type { CommandDeclaration } from './arguments.ts'
import { type Closing, type OpenOptions, openPlace } from './desk/open.ts'
import { openSignIn } from './desk/openid.ts'
import { addPerson } from './desk/person.ts'
import { readTls, serve } from './desk/serve.ts'
import { pictureOptions } from './picture-words.ts'
import { sealerOptions } from './seal.ts'
import { type ExitStatus, exit, type Terminal } from './terminal.ts'
import { vouchingOptions } from './trust.ts'
import { UserError } from './user-error.ts'

export const deskCommand: CommandDeclaration = {
  name: 'desk',
  summary: 'Look at packets in a browser: what is wrong, and the words on the page that prove it.',
  operands: '[ARCHIVE]',
  least: 0,
  most: 1,
  details: [
    'Opens the archive in the folder ARCHIVE, which is begun where there is none, to a browser on this machine. The link',
    'that is printed lets one browser in, once. With --examples: a new archive of the example packets, which is gone when',
    'the desk ends.',
    '',
    'Whatever is done at the desk stands in the custody log of the archive: what was received, checked and looked at,',
    'and what was decided on a finding. Notes, states, accounts and who looks after a packet stand in desk.sqlite beside it.',
    '',
    'With --identity the desk seals packets by that identity, each with its last report, when a custodian has it do so; the',
    'custody log names both. --trust and --revocation say by whom and what its page examines seals.',
    '',
    'For several people: --add NAME --roles administrator makes the first account, --users has people sign in. Roles:',
    'a submitter hands packets over and sees those of one shop; a reviewer sees all and decides; a custodian holds,',
    'releases and seals, too; an administrator keeps accounts. Others than this machine reach the desk by TLS alone: with --tls-key',
    'and --tls-certificate, or with a proxy that speaks it at the address in --address.',
    '',
    'With --openid people sign in by a provider of your own as well: schemas/openid.schema.json states the file, and README.md',
    'shows one. It sends browsers back to /openid/return below the address of the desk.',
  ].join('\n'),
  options: {
    examples: { type: 'boolean', help: 'With the example packets, in an archive that is gone afterwards.' },
    ...(actorOptions.by === undefined ? {} : { by: actorOptions.by }),
    port: { type: 'string', value: 'N', help: 'The port to listen on; 8571 when left out, 0 for any.' },
    host: { type: 'string', value: 'ADDRESS', help: 'The address to listen on; 127.0.0.1 when left out.' },
    address: {
      type: 'string',
      value: 'URL',
      help: 'Where browsers reach it, if a proxy stands before it: https://desk.example',
    },
    users: { type: 'boolean', help: 'People sign in with accounts of their own.' },
    openid: {
      type: 'string',
      value: 'FILE',
      help: 'With --users: they sign in by the OpenID Connect provider named in FILE (YAML), too.',
    },
    add: { type: 'string', value: 'NAME', help: 'Make an account for NAME, or give it a new password, and end.' },
    roles: { type: 'string', value: 'ROLES', help: 'With --add: submitter, reviewer, custodian, administrator.' },
    shop: { type: 'string', value: 'NAME', help: 'With --add: whose packets a submitter sees.' },
    ...sealerOptions,
    ...vouchingOptions,
    origin: { type: 'string', value: 'NAME', help: 'Names the log of an archive that is begun: archive.example/bay.' },
    rulebook: { type: 'string', value: 'FILE', help: 'Weigh by the rules in FILE (YAML) first; it may extend others.' },
    vocabulary: { type: 'string', value: 'FILE', help: 'Know the words in FILE (YAML) too.' },
    'tls-key': { type: 'string', value: 'FILE', help: 'Speak TLS with the private key in FILE (PEM).' },
    'tls-certificate': { type: 'string', value: 'FILE', help: 'And the certificate chain in FILE (PEM).' },
    ...pictureOptions,
  },
}

interface DeskChoice extends OpenOptions {
  by?: string
  port?: string
  host?: string
  address?: string
  users?: true
  openid?: string
  add?: string
  roles?: string
  shop?: string
  'tls-key'?: string
  'tls-certificate'?: string
}

/** Serves until the process is told to end. Throws what `explainError` explains. */
export async function runDesk(
  [folder]: readonly string[],
  options: DeskChoice,
  terminal: Terminal,
): Promise<ExitStatus> {
  if ((folder === undefined) === (options.examples === undefined))
    throw new UserError(
      folder === undefined ? 'a desk needs an archive' : '--examples goes without an archive',
      null,
      'Write: witnessmark desk ARCHIVE --by NAME, or witnessmark desk --examples',
    )
  const { add, host = '127.0.0.1' } = options
  if (add !== undefined && options.identity !== undefined)
    throw new UserError(
      '--add makes an account and seals nothing',
      null,
      'Leave --identity out, and give it when the desk is opened.',
    )
  const port = readPort(options.port)
  const openid = await openSignIn(options)
  const tls = await readTls(options['tls-key'], options['tls-certificate'])
  const address = readAddress(options.address)
  holdToSafety(options, host, tls !== null || address?.startsWith('https:') === true)
  const known = options.examples ? { by: 'Example Reviewer', ...options } : options
  const { name } = readActor(add === undefined ? known : { by: add, ...options }, terminal).by
  const closing: Closing = []
  try {
    const desk = await openPlace(folder, options, name, terminal, closing)
    if (add !== undefined) {
      await addPerson(desk, { ...options, add }, terminal)
      return exit.fine
    }
    const page = await readPageFiles()
    if (page === null)
      throw new UserError('the desk\u2019s page was not built', null, 'Run: npm run build:page (npm start does it too)')
    const person = { name, roles: everyRole, shop: null }
    const accounts = options.users === true
    await serve(desk, { person, page, host, port, accounts, openid, tls, address }, terminal, closing)
    return exit.fine
  } finally {
    for (const close of closing.reverse()) await close()
  }
}

function readPort(text = '8571'): number {
  if (/^\d{1,5}$/.test(text) && Number(text) <= 65_535) return Number(text)
  throw new UserError(`--port ${text} is no port`, null, 'Give a whole number up to 65535; 0 takes any that is free.')
}

/** As browsers write an origin; null where none is given. */
function readAddress(text: string | undefined): string | null {
  if (text === undefined) return null
  if (URL.canParse(text) && /^https?:$/.test(new URL(text).protocol) && new URL(text).pathname === '/')
    return new URL(text).origin
  throw new UserError(
    `--address ${text} is no address of a desk`,
    null,
    'Write it as https://desk.example, without a path.',
  )
}

const isOwn = (host: string): boolean => /^(127\.\d+\.\d+\.\d+|::1|localhost)$/.test(host)

/** Evidence and passwords never go over a network in the clear, and nobody gets in from there without an account. */
function holdToSafety({ users, address }: DeskChoice, host: string, encrypted: boolean): void {
  if (isOwn(host) && address === undefined) return
  if (!users)
    throw new UserError(
      'a desk that others reach needs accounts',
      null,
      'Add --users, or leave --host and --address out.',
    )
  if (!encrypted)
    throw new UserError(
      'a desk that others reach needs TLS',
      null,
      'Add --tls-key and --tls-certificate, or --address https://… of a proxy that speaks it.',
    )
  if (!isOwn(host) && address === undefined)
    throw new UserError('browsers must know where the desk is', null, 'Add --address https://NAME, as they write it.')
}

/** `witnessmark draft PACKET` */
import { lstat, realpath } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { draftDeclaration, readPacket, renderPacketFile } from '../src/index.ts'
import { writeNewAtomically } from '../src/io/atomic-write.ts'
import { fileSystem } from '../src/io/files.ts'
import type { CommandDeclaration } from './arguments.ts'
import { refuseOutput, unwritable } from './deliver.ts'
import { openReading, type PictureOptions, pictureOptions } from './picture-words.ts'
import { startProgress } from './progress.ts'
import { loadVocabulary } from './shipped-data.ts'
import { type ExitStatus, exit, type Terminal } from './terminal.ts'
import { UserError } from './user-error.ts'

export const draftCommand: CommandDeclaration = {
  name: 'draft',
  summary: 'Write a packet.yaml out of what was read, with the open questions.',
  operands: 'PACKET',
  least: 1,
  most: 1,
  details: [
    'PACKET is a folder, a .zip or a single file. What the files say becomes suggestions, which declare nothing until the',
    '"#" before them is taken away; what a packet.yaml of the packet declares already is kept.',
    '',
    'Exit status: 0 when the draft was made; 2 when the packet could not be read, or a file is in the way.',
  ].join('\n'),
  options: {
    vocabulary: { type: 'string', value: 'FILE', help: 'Know the words in FILE (YAML) too.' },
    ...pictureOptions,
    output: {
      type: 'string',
      value: 'FILE',
      help: 'Write the draft to FILE, which must not exist: PACKET/packet.yaml, say.',
    },
  },
}

export interface DraftOptions extends PictureOptions {
  vocabulary?: string
  output?: string
}

/** Reads the packet and delivers the draft. Throws what `explainError` explains. */
export async function runDraft(path: string, options: DraftOptions, terminal: Terminal): Promise<ExitStatus> {
  if (options.output !== undefined) await refuseDraft(options.output, path)
  const reading = openReading(options)
  const progress = startProgress(terminal)
  try {
    const vocabulary = await loadVocabulary(options.vocabulary)
    const outside = { storage: fileSystem, read: reading.read, progress: progress.show }
    const packet = await readPacket(path, outside, { vocabulary, reviewed: terminal.today() })
    progress.end()
    const text = renderPacketFile(draftDeclaration(packet, vocabulary), packet.name)
    if (options.output === undefined) await terminal.print(text)
    else await writeDraft(options.output, text)
    return exit.fine
  } finally {
    progress.end()
    await reading.close()
  }
}

/** Before the work: the draft may become the packet's own packet.yaml, and no other file in it. */
async function refuseDraft(output: string, packet: string): Promise<void> {
  const there = await lstat(output).then(
    () => true,
    () => false,
  )
  if (there) throw inTheWay(output)
  const folder = await realpath(dirname(output)).catch(() => null)
  const own = await realpath(packet).catch(() => null)
  if (folder !== null && own === folder && basename(output) === 'packet.yaml') return
  await refuseOutput(output, packet)
}

async function writeDraft(output: string, text: string): Promise<void> {
  try {
    await writeNewAtomically(output, text)
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? String(error)
    throw code === 'EEXIST' ? inTheWay(output) : unwritable(output, code)
  }
}

function inTheWay(output: string): UserError {
  const other = join(dirname(output), `draft of ${basename(output)}`)
  return new UserError(
    `${output} exists, and a draft replaces nothing`,
    output,
    `Name a file that does not exist, such as "${other}" outside the packet, and take over by hand what is right.`,
  )
}

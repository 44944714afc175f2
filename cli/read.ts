/** `witnessmark read FILE` */
import { formatJson, readDocument, renderDocumentText } from '../src/index.ts'
import { fileSystem } from '../src/io/files.ts'
import type { CommandDeclaration } from './arguments.ts'
import { checkWidth } from './check.ts'
import { openReading, type PictureOptions, pictureOptions } from './picture-words.ts'
import { loadVocabulary } from './shipped-data.ts'
import { chooseWidth, type ExitStatus, exit, type Terminal, wantsColor } from './terminal.ts'

export const readCommand: CommandDeclaration = {
  name: 'read',
  summary: 'Show what one file says.',
  operands: 'FILE',
  least: 1,
  most: 1,
  details: [
    'FILE is a PDF, a picture, a drive log, a table or structured text. What the reader is unsure of is left out, and',
    'the problems say why.',
    '',
    'Exit status: 0 when the file was read, also with problems; 2 when it could not be opened.',
  ].join('\n'),
  options: {
    json: { type: 'boolean', help: 'Print JSON, as schemas/document.schema.json states it.' },
    vocabulary: { type: 'string', value: 'FILE', help: 'Know the words in FILE (YAML) too.' },
    ...pictureOptions,
    width: { type: 'string', value: 'N', help: 'Columns of the text, 40 to 400.' },
    'no-color': { type: 'boolean', help: 'Print without colour. NO_COLOR in the environment does the same.' },
  },
}

export interface ReadOptions extends PictureOptions {
  json?: boolean
  vocabulary?: string
  width?: string
  'no-color'?: boolean
}

/** Reads one file and prints its facts. Throws what `explainError` explains. */
export async function runRead(path: string, options: ReadOptions, terminal: Terminal): Promise<ExitStatus> {
  checkWidth(options.width)
  const reading = openReading(options, 1)
  try {
    const vocabulary = await loadVocabulary(options.vocabulary)
    const document = await readDocument(path, { storage: fileSystem, read: reading.read }, vocabulary)
    const look = { width: chooseWidth(options, terminal), color: wantsColor(options, terminal) }
    await terminal.print(options.json ? formatJson(document) : renderDocumentText(document, look))
    return exit.fine
  } finally {
    await reading.close()
  }
}

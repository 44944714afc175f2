/** A drafted packet.yaml as text: declared keys as they are, suggestions and questions as comments (YAML 1.2). */
import { Document, isMap, isScalar, type Node, type Pair, type Scalar, type ToStringOptions, visit } from 'yaml'
import type { DraftPart } from '../plan/draft-part.ts'
import { cutWord, measureText, neutralise } from './terminal-text.ts'

/** One line an entry, whatever its length, so that a comment sign before each line comments all of it. */
const layout: ToStringOptions = {
  lineWidth: 0,
  nullStr: '',
  blockQuote: false,
  doubleQuotedMinMultiLineLength: Number.MAX_SAFE_INTEGER,
}

/** Columns that a sentence is wrapped to. */
const proseWidth = 96

const howToUse = [
  'Lines that begin with "#" declare nothing. Where a suggestion such as "#job: 17" is right, take its "#" away; what is declared is held against the files. An empty value is filled in first. Questions are for a person who knows.',
]

/**
 * The text of the file. It parses without faults as it stands: what is not declared already is a comment. A line that
 * begins with `#` and no space becomes a line of YAML when the `#` goes.
 */
export function renderPacketFile(parts: readonly DraftPart[], packet: string): string {
  const document = new Document({ packet: 1 })
  const opening = [`packet.yaml, drafted by witnessmark from the files of ${packet}.`, ...howToUse]
  document.commentBefore = opening.flatMap(prose).join('\n')
  let waiting: string[][] = []
  for (const part of parts) {
    const remarks = [...part.questions.map((question) => `Question: ${question}`), ...part.notes].flatMap(prose)
    if (part.declared === undefined) {
      waiting.push([...remarks, ...suggest(part)])
      continue
    }
    const pair = document.createPair(part.key, part.declared) as Pair<Scalar, Node>
    protect(pair)
    if (join(waiting) !== '' || remarks.length > 0) {
      // An empty last group parts what waited from the key, which it is not about.
      pair.key.commentBefore = join([...waiting, remarks]) + (remarks.length > 0 ? '' : '\n')
      pair.key.spaceBefore = true
    }
    waiting = []
    if (isMap(document.contents)) document.contents.items.push(pair)
  }
  document.comment = join(waiting)
  return escapeMisleading(document.toString(layout))
}

/** Groups of lines with an empty line between them. */
function join(groups: readonly string[][]): string {
  return groups
    .filter((group) => group.length > 0)
    .map((group) => group.join('\n'))
    .join('\n\n')
}

/** `#job: 17`, as comment lines without the sign. */
function suggest({ key, suggestion }: DraftPart): string[] {
  if (suggestion === undefined) return []
  const document = new Document({ [key]: suggestion })
  protect(document)
  return document.toString(layout).trimEnd().split('\n')
}

/** Words that could mislead on a screen are written between double quotes, where they can be escaped. */
function protect(node: Document | Pair): void {
  const quote = (scalar: unknown): void => {
    if (isScalar(scalar) && typeof scalar.value === 'string' && neutralise(scalar.value) !== scalar.value)
      scalar.type = 'QUOTE_DOUBLE'
  }
  visit(node as Document, { Scalar: (_, scalar) => quote(scalar) })
}

/** Within double quotes, which hold all of it that is left: `\u202e`, `\U000e0001` (YAML 1.2.2, 5.7). */
function escapeMisleading(text: string): string {
  return text
    .split('\n')
    .map((line) => (neutralise(line) === line ? line : [...line].map(escapeCharacter).join('')))
    .join('\n')
}

function escapeCharacter(character: string): string {
  if (neutralise(character) === character) return character
  const code = (character.codePointAt(0) ?? 0).toString(16)
  return code.length > 4 ? `\\U${code.padStart(8, '0')}` : `\\u${code.padStart(4, '0')}`
}

/** A sentence as lines of comment, each behind one space. */
function prose(sentence: string): string[] {
  const lines: string[] = []
  let line = ''
  for (const word of neutralise(sentence)
    .split(/ +/)
    .flatMap((each) => cutWord(each, proseWidth))) {
    if (line !== '' && measureText(line) + 1 + measureText(word) > proseWidth) {
      lines.push(` ${line}`)
      line = word
    } else line = line === '' ? word : `${line} ${word}`
  }
  return line === '' ? lines : [...lines, ` ${line}`]
}

/** The actions of a command that has several: `archive add`, `custody prove`. */
import { findNearestName } from '../../src/index.ts'
import type { ActionDeclaration, CommandDeclaration, OptionDeclaration } from '../arguments.ts'
import type { ExitStatus, Terminal } from '../terminal.ts'
import { UserError } from '../user-error.ts'

export interface Action extends ActionDeclaration {
  least: number
  most: number
  run(operands: readonly string[], options: Record<string, string | true>, terminal: Terminal): Promise<ExitStatus>
}

/** A command over a table of actions, as `arguments.ts` wants it declared; the first of `details` stands above the table. */
export function declareActions(
  name: string,
  summary: string,
  actions: Readonly<Record<string, Action>>,
  details: readonly string[],
): CommandDeclaration {
  const entries = Object.entries(actions)
  const lines = entries.map(([action, { operands }]) => `  ${name} ${action} ${operands}`)
  const column = Math.max(...lines.map((line) => line.length)) + 2
  const listed = entries.map(([, action], at) => `${(lines[at] ?? '').padEnd(column)}${action.summary}`)
  return {
    name,
    summary,
    operands: 'ACTION …',
    least: 1,
    most: 10_000,
    details: [...details.slice(0, 1), '', ...listed, '', ...details.slice(1)].join('\n'),
    options: Object.assign({}, ...entries.map(([, { options }]) => options)),
    actions,
  }
}

/** Runs the action that the first word names. Throws UserError for one that is none, and for what it has no use for. */
export async function runAction(
  name: string,
  actions: Readonly<Record<string, Action>>,
  [word = '', ...operands]: readonly string[],
  options: Record<string, string | true>,
  terminal: Terminal,
): Promise<ExitStatus> {
  const action = Object.hasOwn(actions, word) ? actions[word] : undefined
  if (action === undefined) {
    const nearest = findNearestName(word, Object.keys(actions))
    const mend = nearest === null ? `Actions are ${Object.keys(actions).join(', ')}.` : `Did you mean "${nearest}"?`
    throw new UserError(`"witnessmark ${name}" cannot ${word}`, null, mend)
  }
  const foreign = Object.keys(options).find((option) => !Object.hasOwn(action.options, option))
  if (foreign !== undefined) {
    const own = Object.keys(action.options).map((option) => `--${option}`)
    throw new UserError(
      `"${name} ${word}" has no option --${foreign}`,
      null,
      own.length === 0 ? 'Leave it out: it has none.' : `Leave it out. Its options are ${own.join(', ')}.`,
    )
  }
  if (operands.length < action.least || operands.length > action.most)
    throw new UserError(
      `"${name} ${word}" ${operands.length < action.least ? 'needs more' : `has no use for: ${operands.slice(action.most).join(' ')}`}`,
      null,
      `Write: witnessmark ${name} ${word} ${action.operands}`,
    )
  return action.run(operands, options, terminal)
}

export const reasonOptions: Record<string, OptionDeclaration> = {
  why: { type: 'string', value: 'TEXT', help: 'Why, for the custody log.' },
  authority: { type: 'string', value: 'TEXT', help: 'What allows or orders it: a policy, a letter, a court order.' },
}

export const actorOptions: Record<string, OptionDeclaration> = {
  by: {
    type: 'string',
    value: 'NAME',
    help: 'Who acts, for the custody log; WITNESSMARK_BY in the environment does the same.',
  },
  ...reasonOptions,
}

export const sheetOptions: Record<string, OptionDeclaration> = {
  json: { type: 'boolean', help: 'Write it for programs.' },
  output: { type: 'string', value: 'FILE', help: 'Write it to FILE, whole or not at all.' },
  width: { type: 'string', value: 'N', help: 'Columns of the text, 40 to 400.' },
  'no-color': { type: 'boolean', help: 'Print without colour. NO_COLOR in the environment does the same.' },
}

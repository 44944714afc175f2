/** Tells the words of a command line apart: command, operands, options. */
import { parseArgs } from 'node:util'
import { findNearestName } from '../src/index.ts'
import { UserError } from './user-error.ts'

export interface OptionDeclaration {
  type: 'string' | 'boolean'
  short?: string
  /** How its value is called in the help; for `string` alone. */
  value?: string
  help: string
}

export interface CommandDeclaration {
  name: string
  summary: string
  /** What follows the command's name: `PACKET`. */
  operands: string
  least: number
  most: number
  details: string
  options: Record<string, OptionDeclaration>
  /** Of a command whose first operand says what it does: each has help of its own. */
  actions?: Readonly<Record<string, ActionDeclaration>>
}

export interface ActionDeclaration {
  /** What follows the action's name. */
  operands: string
  summary: string
  options: Record<string, OptionDeclaration>
}

export interface Arguments {
  command: string | null
  operands: string[]
  options: Record<string, string | true>
}

/** Options that stand with any command, or with none. */
export const commonOptions: Record<string, OptionDeclaration> = {
  help: { type: 'boolean', short: 'h', help: 'Show this help.' },
  version: { type: 'boolean', help: 'Show the version of witnessmark.' },
}

/**
 * Reads the words after the program's name. Options may stand anywhere before `--`. Throws UserError for a command or
 * option that is none, a value that is missing or too many, and anything given twice.
 */
export function readArguments(words: readonly string[], commands: readonly CommandDeclaration[]): Arguments {
  const known: Record<string, OptionDeclaration> = Object.assign(
    {},
    ...commands.map(({ options }) => options),
    commonOptions,
  )
  const { tokens } = parseArgs({
    args: [...words],
    options: Object.fromEntries(
      Object.entries(known).map(([name, { type, short }]) => [name, short === undefined ? { type } : { type, short }]),
    ),
    strict: false,
    allowPositionals: true,
    tokens: true,
  })
  const options: Record<string, string | true> = Object.create(null)
  const operands: string[] = []
  for (const token of tokens) {
    if (token.kind === 'positional') operands.push(token.value)
    if (token.kind !== 'option') continue
    const declaration = Object.hasOwn(known, token.name) ? known[token.name] : undefined
    if (declaration === undefined) throw unknownOption(token.rawName, Object.keys(known))
    if (token.name in options) throw new UserError(`${token.rawName} is given twice`, null, 'Give it once.')
    options[token.name] = readValue(token, declaration)
  }
  const [command = null, ...rest] = operands
  if (command === null) return { command, operands: [], options }
  const declared = commands.find(({ name }) => name === command)
  if (declared === undefined) throw unknownCommand(command, commands)
  return { command, operands: rest, options }
}

type OptionToken = { rawName: string; name: string; value?: string | undefined; inlineValue?: boolean | undefined }

function readValue({ rawName, value, inlineValue }: OptionToken, declaration: OptionDeclaration): string | true {
  if (declaration.type === 'boolean') {
    if (value !== undefined) throw new UserError(`${rawName} takes no value`, null, `Write ${rawName} alone.`)
    return true
  }
  const wanted = declaration.value ?? 'VALUE'
  if (value === undefined || value === '')
    throw new UserError(`${rawName} lacks its value`, null, `Write ${rawName} ${wanted}.`)
  if (!inlineValue && value.startsWith('-'))
    throw new UserError(
      `${rawName} lacks its value: ${value} looks like an option`,
      null,
      `Write ${rawName} ${wanted}, or ${rawName}=${value} if that is the value.`,
    )
  return value
}

/** Refuses options that belong to another command, and too few or too many operands. */
export function holdToCommand({ operands, options }: Arguments, command: CommandDeclaration): void {
  const own = [...Object.keys(command.options), ...Object.keys(commonOptions)]
  for (const name of Object.keys(options)) {
    if (own.includes(name)) continue
    throw new UserError(
      `"witnessmark ${command.name}" has no option --${name}`,
      null,
      `Leave it out. Its options are ${own.map((option) => `--${option}`).join(', ')}.`,
    )
  }
  const usage = `Write: witnessmark ${command.name} ${command.operands}`
  if (operands.length < command.least)
    throw new UserError(`"witnessmark ${command.name}" needs ${command.operands}`, null, usage)
  if (operands.length > command.most) {
    const extra = operands.slice(command.most).join(' ')
    const quoting = 'A path with spaces is written in quotes.'
    throw new UserError(
      `"witnessmark ${command.name}" has no use for: ${extra}`,
      null,
      `${usage}\n${quoting}`.replace('\n', '. '),
    )
  }
}

function unknownOption(rawName: string, names: readonly string[]): UserError {
  const nearest = findNearestName(rawName.replace(/^-+/, ''), names)
  return new UserError(
    `there is no option ${rawName}`,
    null,
    nearest === null
      ? `Options are ${names.map((name) => `--${name}`).join(', ')}. A path that begins with "-" is written after "--".`
      : `Did you mean --${nearest}? A path that begins with "-" is written after "--".`,
  )
}

export function unknownCommand(name: string, commands: readonly CommandDeclaration[]): UserError {
  const names = [...commands.map((command) => command.name)]
  const nearest = findNearestName(name, names)
  return new UserError(
    `there is no command "${name}"`,
    null,
    nearest === null
      ? `Commands are ${names.join(', ')}. To check a packet write: witnessmark check ${name}`
      : `Did you mean "${nearest}"?`,
  )
}

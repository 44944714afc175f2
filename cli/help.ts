/** The help texts, made from what each command declares. */
import { type CommandDeclaration, commonOptions, type OptionDeclaration } from './arguments.ts'

/** What the program is for, and its commands. */
export function programHelp(commands: readonly CommandDeclaration[]): string {
  const rows = commands.map(({ name, operands, summary }): [string, string] => [`${name} ${operands}`, summary])
  return [
    'witnessmark reviews what a shop saved about one vehicle’s sensor calibrations: it reads the',
    'files, checks them against each other, and says pass, warn or fail with reasons and places.',
    '',
    'Usage: witnessmark COMMAND [options]',
    '',
    ...alignRows(rows),
    '',
    ...alignRows(Object.entries(commonOptions).map(describeOption)),
    '',
    'For example: witnessmark check "RO 4471.zip"',
    '             witnessmark help check',
    '',
  ].join('\n')
}

/** One command: usage, what it does, its options; of a command with actions, those of the action that `word` names. */
export function commandHelp(command: CommandDeclaration, word = ''): string {
  const { name, operands, summary, details, options, actions = {} } = command
  const action = Object.hasOwn(actions, word) ? actions[word] : undefined
  if (action !== undefined) {
    const sentence = `${action.summary.charAt(0).toUpperCase()}${action.summary.slice(1)}.`
    return writeHelp(`${name} ${word} ${action.operands}`, [sentence], action.options)
  }
  const isTable = Object.keys(actions).length > 0
  const hint = isTable ? ['', `The options of an action: witnessmark ${name} ${Object.keys(actions)[0]} --help`] : []
  return writeHelp(`${name} ${operands}`, [summary, '', details, ...hint], isTable ? {} : options)
}

const writeHelp = (usage: string, text: readonly string[], options: CommandDeclaration['options']): string =>
  [
    `Usage: witnessmark ${usage} [options]`,
    '',
    ...text,
    '',
    ...alignRows(Object.entries({ ...options, ...commonOptions }).map(describeOption)),
    '',
    'Options may stand before or after; what follows "--" is never taken for an option.',
    '',
  ].join('\n')

function describeOption([name, { short, value, help }]: [string, OptionDeclaration]): [string, string] {
  return [`${short ? `-${short}, ` : ''}--${name}${value ? ` ${value}` : ''}`, help]
}

function alignRows(rows: readonly (readonly [string, string])[]): string[] {
  const column = Math.max(...rows.map(([left]) => left.length)) + 3
  return rows.map(([left, right]) => `  ${left.padEnd(column)}${right}`)
}

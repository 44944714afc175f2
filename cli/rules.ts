/** `witnessmark rules [NAME]` */
import {
  type Check,
  checks,
  describeRule,
  findNearestName,
  formatJson,
  renderRule,
  renderRuleMarkdown,
  renderRules,
  renderRulesMarkdown,
} from '../src/index.ts'
import type { CommandDeclaration } from './arguments.ts'
import { checkWidth } from './check.ts'
import { loadRulebook, type RulebookChoice, rulebookOptions } from './shipped-data.ts'
import { chooseWidth, type ExitStatus, exit, type Terminal, wantsColor } from './terminal.ts'
import { UserError } from './user-error.ts'

export const rulesCommand: CommandDeclaration = {
  name: 'rules',
  summary: 'List the checks, or explain one.',
  operands: '[NAME]',
  least: 0,
  most: 1,
  details: [
    'Without NAME: every check with the claim it tests, by group. With NAME: what the check can say and what that is worth,',
    'the values it uses and their source, what would settle a finding, and who is exposed by it.',
  ].join('\n'),
  options: {
    json: { type: 'boolean', help: 'Print JSON: a list, or one object with NAME.' },
    markdown: { type: 'boolean', help: 'Print the whole catalogue, or NAME alone, as a page of Markdown.' },
    ...rulebookOptions,
    width: { type: 'string', value: 'N', help: 'Columns of the text, 40 to 400.' },
    'no-color': { type: 'boolean', help: 'Print without colour. NO_COLOR in the environment does the same.' },
  },
}

export interface RulesOptions extends RulebookChoice {
  json?: boolean
  markdown?: boolean
  width?: string
  'no-color'?: boolean
}

/** Prints the checks, or one of them. Throws UserError for a name that is none. */
export async function runRules(
  name: string | undefined,
  options: RulesOptions,
  terminal: Terminal,
): Promise<ExitStatus> {
  checkWidth(options.width)
  const rulebook = await loadRulebook(options)
  const look = { width: chooseWidth(options, terminal), color: wantsColor(options, terminal) }
  if (options.json && options.markdown)
    throw new UserError('--json and --markdown are given together', null, 'Give one of them.')
  if (options.markdown) {
    const page =
      name === undefined ? renderRulesMarkdown(checks, rulebook) : renderRuleMarkdown(findCheck(name), rulebook)
    await terminal.print(page)
    return exit.fine
  }
  if (name === undefined) {
    const all = checks.map((check) => describeRule(check, rulebook))
    await terminal.print(options.json ? formatJson(all) : renderRules(checks, rulebook, look))
    return exit.fine
  }
  const check = findCheck(name)
  await terminal.print(options.json ? formatJson(describeRule(check, rulebook)) : renderRule(check, rulebook, look))
  return exit.fine
}

function findCheck(name: string): Check {
  const check = checks.find(({ id }) => id === name)
  if (check === undefined) throw unknownCheck(name)
  return check
}

/** For a name that no check has, with the nearest that one has. */
export function unknownCheck(name: string): UserError {
  const nearest = findNearestName(
    name,
    checks.map(({ id }) => id),
  )
  const mend = nearest === null ? '"witnessmark rules" lists the checks.' : `Did you mean "${nearest}"?`
  return new UserError(`there is no check "${name}"`, null, mend)
}

/** Runs one command line. */
import manifest from '../package.json' with { type: 'json' }
import { type Arguments, type CommandDeclaration, holdToCommand, readArguments, unknownCommand } from './arguments.ts'
import { checkCommand, runCheck } from './check.ts'
import { draftCommand, runDraft } from './draft.ts'
import { explainCommand, runExplain } from './explain.ts'
import { commandHelp, programHelp } from './help.ts'
import { identityCommand, runIdentity } from './identity.ts'
import { planCommand, runPlan } from './plan.ts'
import { readCommand, runRead } from './read.ts'
import { rulesCommand, runRules } from './rules.ts'
import { runSeal, sealCommand } from './seal.ts'
import { runStamp, stampCommand } from './stamp.ts'
import { runStatement, statementCommand } from './statement.ts'
import { type ExitStatus, exit, type Terminal } from './terminal.ts'
import { explainError } from './user-error.ts'
import { runVerify, verifyCommand } from './verify.ts'

const helpCommand: CommandDeclaration = {
  name: 'help',
  summary: 'Show this help, or that of one command.',
  operands: '[COMMAND]',
  least: 0,
  most: 1,
  details: 'Without COMMAND: what the program is for, and its commands.',
  options: {},
}

const commands: readonly CommandDeclaration[] = [
  checkCommand,
  explainCommand,
  readCommand,
  planCommand,
  draftCommand,
  rulesCommand,
  identityCommand,
  sealCommand,
  verifyCommand,
  stampCommand,
  statementCommand,
  helpCommand,
]

/** Runs the words after the program's name. Resolves to the exit status; what the user can mend is told, not thrown. */
export async function run(words: readonly string[], terminal: Terminal): Promise<ExitStatus> {
  try {
    return await dispatch(readArguments(words, commands), terminal)
  } catch (error) {
    const explained = explainError(error)
    if (explained === null) throw error
    terminal.tell(explained)
    return exit.notRun
  }
}

async function dispatch(given: Arguments, terminal: Terminal): Promise<ExitStatus> {
  const { command: name, operands, options } = given
  if (options.version) {
    await terminal.print(`witnessmark ${manifest.version}\n`)
    return exit.fine
  }
  const command = commands.find((candidate) => candidate.name === name)
  if (command === undefined) return showProgramHelp(options.help !== undefined, terminal)
  if (options.help) {
    await terminal.print(commandHelp(command))
    return exit.fine
  }
  holdToCommand(given, command)
  const [operand = ''] = operands
  switch (command) {
    case checkCommand:
      return runCheck(operand, options, terminal)
    case explainCommand:
      return runExplain(operand, operands[1] ?? '', options, terminal)
    case draftCommand:
      return runDraft(operand, options, terminal)
    case identityCommand:
      return runIdentity(operands, options, terminal)
    case planCommand:
      return runPlan(operand, options, terminal)
    case readCommand:
      return runRead(operand, options, terminal)
    case rulesCommand:
      return runRules(operands[0], options, terminal)
    case sealCommand:
      return runSeal(operand, options, terminal)
    case stampCommand:
      return runStamp(operand, options, terminal)
    case statementCommand:
      return runStatement(operand, options, terminal)
    case verifyCommand:
      return runVerify(operand, options, terminal)
    default:
      return showHelp(operands[0], terminal)
  }
}

/** Help that was asked for is a result; help instead of a command is not. */
async function showProgramHelp(asked: boolean, terminal: Terminal): Promise<ExitStatus> {
  if (asked) await terminal.print(programHelp(commands))
  else terminal.tell(programHelp(commands))
  return asked ? exit.fine : exit.notRun
}

async function showHelp(topic: string | undefined, terminal: Terminal): Promise<ExitStatus> {
  if (topic === undefined) return showProgramHelp(true, terminal)
  const command = commands.find(({ name }) => name === topic)
  if (command === undefined) throw unknownCommand(topic, commands)
  await terminal.print(commandHelp(command))
  return exit.fine
}

/** Runs one command line. */
import manifest from '../package.json' with { type: 'json' }
import { archiveCommand, runArchive } from './archive.ts'
import { type Arguments, type CommandDeclaration, holdToCommand, readArguments, unknownCommand } from './arguments.ts'
import { checkCommand, runCheck } from './check.ts'
import { compareCommand, runCompare } from './compare.ts'
import { custodyCommand, runCustody } from './custody.ts'
import { deskCommand, runDesk } from './desk.ts'
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

type Run = (operands: readonly string[], options: Arguments['options'], terminal: Terminal) => Promise<ExitStatus>

/** Every command with what runs it, in the order in which help lists them. */
const runs = new Map<CommandDeclaration, Run>([
  [checkCommand, ([packet = ''], options, terminal) => runCheck(packet, options, terminal)],
  [explainCommand, ([packet = '', check = ''], options, terminal) => runExplain(packet, check, options, terminal)],
  [compareCommand, runCompare],
  [readCommand, ([file = ''], options, terminal) => runRead(file, options, terminal)],
  [planCommand, ([job = ''], options, terminal) => runPlan(job, options, terminal)],
  [draftCommand, ([packet = ''], options, terminal) => runDraft(packet, options, terminal)],
  [rulesCommand, ([name], options, terminal) => runRules(name, options, terminal)],
  [identityCommand, runIdentity],
  [sealCommand, ([packet = ''], options, terminal) => runSeal(packet, options, terminal)],
  [verifyCommand, ([bag = ''], options, terminal) => runVerify(bag, options, terminal)],
  [stampCommand, ([bag = ''], options, terminal) => runStamp(bag, options, terminal)],
  [statementCommand, ([bag = ''], options, terminal) => runStatement(bag, options, terminal)],
  [archiveCommand, runArchive],
  [custodyCommand, runCustody],
  [deskCommand, runDesk],
  [helpCommand, ([topic], _, terminal) => showHelp(topic, terminal)],
])
const commands = [...runs.keys()]

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
  const [command, runCommand] = [...runs].find(([{ name: own }]) => own === name) ?? []
  if (command === undefined || runCommand === undefined) return showProgramHelp(options.help !== undefined, terminal)
  if (options.help) {
    await terminal.print(commandHelp(command, operands[0]))
    return exit.fine
  }
  holdToCommand(given, command)
  return runCommand(operands, options, terminal)
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

/** `witnessmark plan PACKET` */
import {
  checks,
  formatJson,
  makePlan,
  type Plan,
  readJob,
  renderPlan,
  renderPlanMarkdown,
  renderPlanPage,
} from '../src/index.ts'
import { fileSystem } from '../src/io/files.ts'
import type { CommandDeclaration } from './arguments.ts'
import { checkWidth } from './check.ts'
import { deliver, refuseOutput } from './deliver.ts'
import { openReading, type PictureOptions, pictureOptions } from './picture-words.ts'
import { startProgress } from './progress.ts'
import { loadRulebook, loadVocabulary, type RulebookChoice, rulebookOptions } from './shipped-data.ts'
import { chooseWidth, type ExitStatus, exit, type Terminal, wantsColor } from './terminal.ts'
import { UserError } from './user-error.ts'

const formats = ['text', 'json', 'markdown', 'html'] as const
type Format = (typeof formats)[number]

export const planCommand: CommandDeclaration = {
  name: 'plan',
  summary: 'List what to save during a job, in the order of the work, and why.',
  operands: 'JOB',
  least: 1,
  most: 1,
  details: [
    'JOB is a packet.yaml, an estimate, or the folder or .zip of a job under way. The plan asks for what the checks want',
    'to see of its repairs and calibrations, as a checklist; a packet that holds all of it is complete.',
    '',
    'Exit status: 0 when the plan was made; 2 when the job could not be read.',
  ].join('\n'),
  options: {
    json: { type: 'boolean', help: 'The same as --format json, as schemas/plan.schema.json states it.' },
    format: {
      type: 'string',
      value: 'FORMAT',
      help: 'text, json, markdown or html (one page for a phone or to print).',
    },
    ...rulebookOptions,
    vocabulary: { type: 'string', value: 'FILE', help: 'Know the words in FILE (YAML) too.' },
    ...pictureOptions,
    output: { type: 'string', value: 'FILE', help: 'Write the plan to FILE, whole or not at all.' },
    width: { type: 'string', value: 'N', help: 'Columns of the text, 40 to 400.' },
    'no-color': { type: 'boolean', help: 'Print without colour. NO_COLOR in the environment does the same.' },
  },
}

export interface PlanOptions extends RulebookChoice, PictureOptions {
  json?: boolean
  format?: string
  vocabulary?: string
  output?: string
  width?: string
  'no-color'?: boolean
}

/** Reads the job and delivers its plan. Throws what `explainError` explains. */
export async function runPlan(path: string, options: PlanOptions, terminal: Terminal): Promise<ExitStatus> {
  const format = readFormat(options)
  checkWidth(options.width)
  if (options.output !== undefined) await refuseOutput(options.output, path)
  const reading = openReading(options)
  const progress = startProgress(terminal)
  try {
    const [rulebook, vocabulary] = await Promise.all([loadRulebook(options), loadVocabulary(options.vocabulary)])
    const outside = { storage: fileSystem, read: reading.read, progress: progress.show }
    const packet = await readJob(path, outside, { vocabulary, reviewed: terminal.today() })
    progress.end()
    const plan = makePlan(packet, checks, rulebook, vocabulary)
    await deliver(render(plan, format, options, terminal), options.output, terminal)
    return exit.fine
  } finally {
    progress.end()
    await reading.close()
  }
}

function readFormat({ json, format }: PlanOptions): Format {
  const wanted = format ?? (json ? 'json' : 'text')
  if (json && wanted !== 'json')
    throw new UserError(`--json and --format ${wanted} are given together`, null, 'Give one of them.')
  const known = formats.find((each) => each === wanted)
  if (known !== undefined) return known
  throw new UserError(`there is no format "${wanted}"`, null, `Formats of a plan are ${formats.join(', ')}.`)
}

function render(plan: Plan, format: Format, options: PlanOptions, terminal: Terminal): string {
  switch (format) {
    case 'json':
      return formatJson(plan)
    case 'markdown':
      return renderPlanMarkdown(plan)
    case 'html':
      return renderPlanPage(plan)
    default:
      return renderPlan(plan, { width: chooseWidth(options, terminal), color: wantsColor(options, terminal) })
  }
}

/** What a command needs of the process it runs in, so that it can be run inside tests. */
export interface Terminal {
  /** Writes to standard output; kept once it is written, also when nobody reads any more. */
  print(content: string | Uint8Array): Promise<void>
  /** Writes to standard error. */
  tell(text: string): void
  readonly environment: Readonly<Record<string, string | undefined>>
  /** Whether standard output is a terminal, and how many columns it has. */
  readonly output: { isTerminal: boolean; columns: number | undefined }
  readonly errorsAreShown: boolean
  /** Today, `YYYY-MM-DD`. */
  today(): string
  /** Asks a person for a line that is not shown while it is typed; absent where nobody can be asked. */
  askHidden?(question: string): Promise<string>
}

/** The exit statuses, which keep one meaning everywhere. */
export const exit = { fine: 0, fails: 1, notRun: 2 } as const
export type ExitStatus = (typeof exit)[keyof typeof exit]

export interface Options {
  'no-color'?: boolean
  width?: string
  output?: string
}

/** NO_COLOR and FORCE_COLOR count when they are not empty; an option counts more, a file is never coloured. */
export function wantsColor(options: Options, { environment, output }: Terminal): boolean {
  if (options['no-color'] || options.output !== undefined || environment.NO_COLOR) return false
  const forced = environment.FORCE_COLOR
  if (forced) return forced !== '0' && forced !== 'false'
  return output.isTerminal && environment.TERM !== 'dumb'
}

/** Long lines are hard to read, so a wide terminal is not filled. */
const widest = 120

export function chooseWidth(options: Options, { output }: Terminal): number {
  if (options.width !== undefined) return Number(options.width)
  if (!output.isTerminal || options.output !== undefined || output.columns === undefined) return 80
  return Math.min(widest, Math.max(40, output.columns))
}

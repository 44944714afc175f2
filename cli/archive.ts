/** `witnessmark archive ACTION ARCHIVE …` */
import { type Action, declareActions, runAction } from './archive/action.ts'
import { auditAction } from './archive/audit.ts'
import { exportAction } from './archive/export.ts'
import { holdActions } from './archive/hold.ts'
import { keepActions } from './archive/keep.ts'
import { checkAction, listAction, showAction } from './archive/look.ts'
import { addAction, initAction } from './archive/receive.ts'
import { sealActions } from './archive/seal.ts'
import type { ExitStatus, Terminal } from './terminal.ts'

const actions: Readonly<Record<string, Action>> = {
  init: initAction,
  add: addAction,
  list: listAction,
  show: showAction,
  check: checkAction,
  ...sealActions,
  audit: auditAction,
  export: exportAction,
  ...holdActions,
  ...keepActions,
}

export const archiveCommand = declareActions(
  'archive',
  'Keep packets under custody: receive, find, seal, hold, verify, back up, destroy when allowed.',
  actions,
  [
    'ARCHIVE is a folder. Identical files are kept once; every act is an entry of a log that can only grow.',
    'A packet has a number of the year in which it was received: 2026-0001. Retention is the rulebook’s; what is held is never',
    'destroyed, and nothing is destroyed by one person alone.',
    '',
    'Exit status: 0 when it was done; 1 when something is damaged, when a seal does not hold, and when a seal got no time stamp;',
    '2 when it was not done.',
  ],
)

export const runArchive = (
  operands: readonly string[],
  options: Record<string, string | true>,
  terminal: Terminal,
): Promise<ExitStatus> => runAction('archive', actions, operands, options, terminal)

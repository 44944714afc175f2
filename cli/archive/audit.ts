/** `archive audit` */
import { archives, formatJson, renderAudit, renderAuditPage } from '../../src/index.ts'
import { deliver } from '../deliver.ts'
import { type ExitStatus, exit, type Terminal } from '../terminal.ts'
import { UserError } from '../user-error.ts'
import { type Action, sheetOptions } from './action.ts'
import { lookOf, readSearch, type SheetChoice, searchOptions } from './look.ts'
import { inArchive } from './place.ts'

async function audit(
  folder: string,
  options: Record<string, string | true> & SheetChoice,
  terminal: Terminal,
): Promise<ExitStatus> {
  const { by = 'shop' } = options
  const group = archives.auditGroups.find((one) => one === by)
  if (group === undefined)
    throw new UserError(
      `an audit cannot be by ${by}`,
      null,
      `Write --by with one of ${archives.auditGroups.join(', ')}.`,
    )
  const look = lookOf(options, terminal)
  const search = readSearch(options)
  const found = await inArchive(folder, ({ db }) => archives.auditPackets(db, group, search))
  await deliver(render(), options.output, terminal)
  return exit.fine

  function render(): string {
    if (options.json) return formatJson(found)
    return options.output?.endsWith('.html') ? renderAuditPage(found) : renderAudit(found, look)
  }
}

export const auditAction: Action = {
  operands: 'ARCHIVE --by shop|technician|instrument',
  least: 1,
  most: 1,
  summary: 'figures of what fails, compared fairly; with --output FILE.html a page with charts',
  options: {
    ...searchOptions,
    ...sheetOptions,
    by: { type: 'string', value: 'GROUP', help: 'audit: shop, technician or instrument; other actions: who acts.' },
  },
  run: ([folder = ''], options, terminal) => audit(folder, options, terminal),
}

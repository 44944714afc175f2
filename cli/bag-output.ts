/** Where a bag goes: a folder, or a zip where its name says so. */
import { basename } from 'node:path'
import type { BagSink } from '../src/index.ts'
import { writeBagFolder } from '../src/io/bag-writer.ts'
import { writeBagZip } from '../src/io/zip-writer.ts'
import { inTheWay } from './deliver.ts'
import { UserError } from './user-error.ts'

/** Writes a bag, whole or not at all, replacing nothing. Throws UserError where it cannot be written, and what `fill` throws. */
export async function writeBag<Result>(output: string, fill: (sink: BagSink) => Promise<Result>): Promise<Result> {
  try {
    const isZip = /\.zip$/i.test(output)
    return await (isZip
      ? writeBagZip(output, basename(output).replace(/\.zip$/i, ''), fill)
      : writeBagFolder(output, fill))
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code === undefined || !/^E[A-Z]+$/.test(code)) throw error
    if (code === 'EEXIST') throw inTheWay(output)
    throw new UserError(
      `the bag cannot be written to ${output}: ${code}`,
      output,
      'Name a place that you may write to, with room for it.',
    )
  }
}

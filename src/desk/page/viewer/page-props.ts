import type { Box } from '../../../index.ts'
import type { FileView } from '../../contract.ts'

/** A page of a file of a packet, and what is marked on it. */
export interface PageProps {
  accession: string
  file: FileView
  /** From 1. */
  page: number
  /** Only the file up to this byte, an earlier state of it; null for all of it. */
  end: number | null
  marks: readonly Box[]
  /** What is shown, for those who do not see it. */
  label: string
}

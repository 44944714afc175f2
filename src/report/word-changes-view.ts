/** Changes of words in words: page by page, a heading and the runs that were taken out and put in. */
import type { Comparison, FileChange, PageChange, WordRun } from '../compare/comparison.ts'
import { count } from './words.ts'

export interface PageChangeView {
  heading: string
  /** One sentence where the list does not tell all. */
  remark: string
  changes: { before: string; after: string }[]
}

/** Pages of all files on which words differ. */
export function viewWordChanges({ files }: Comparison): { heading: string; pages: PageChangeView[] } {
  const pages = files.flatMap((file) => (file.words?.pages ?? []).map((page) => viewPage(file, page)))
  return { heading: `Words changed (${count(pages.length, 'page')})`, pages }
}

function viewPage(file: FileChange, page: PageChange): PageChangeView {
  const { changes, left, state } = page
  const name = (file.after ?? file.before)?.file ?? ''
  const remarks = [
    state === 'too-different' ? 'Too many words differ to list them.' : '',
    state === 'added' ? 'The page was added.' : '',
    state === 'removed' ? 'The page was taken out.' : '',
    page.moved ? `Its place among the pages changed${state === 'moved' ? ', and no word of it' : ''}.` : '',
    left > 0 ? `${count(left, 'more change')} not listed here.` : '',
  ]
  return {
    heading: `${name}, ${nameNumbers(page)}`,
    remark: remarks.filter((text) => text !== '').join(' '),
    changes: changes.map(({ before, after }) => ({ before: tellRun(before), after: tellRun(after) })),
  }
}

function nameNumbers({ before, after }: PageChange): string {
  if (before === null || after === null || before === after) return `page ${after ?? before}`
  return `page ${before}, now page ${after}`
}

const tellRun = (run: WordRun | null): string =>
  run === null ? '' : run.text.endsWith(' …') ? `${run.text} (${count(run.words, 'word')})` : run.text

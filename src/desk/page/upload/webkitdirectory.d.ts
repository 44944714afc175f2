import 'react'

declare module 'react' {
  interface InputHTMLAttributes<T> {
    /** Whole folders are chosen (WICG, File and Directory Entries API). */
    webkitdirectory?: T extends unknown ? string | undefined : never
  }
}

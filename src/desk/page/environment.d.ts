interface ImportMetaEnv {
  /** Address of the folder with the data of pdfjs, with a slash at its end. */
  readonly PDF_FILES: string
}

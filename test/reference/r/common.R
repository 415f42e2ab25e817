# Reads the cases, runs the function of each calculation on each case, writes one line of numbers for each output:
# name, case, output, numbers with 17 digits. A case on which R itself stops is written with the output "!" and R's words.

numbers <- function(x) as.numeric(unlist(x))
groups_of <- function(x) lapply(x, numbers)

run <- function(functions, packages = character()) {
  paths <- commandArgs(trailingOnly = TRUE)
  cases <- jsonlite::fromJSON(paths[1], simplifyVector = FALSE)
  out <- file(paths[2], "w")
  versions <- vapply(packages, function(p) paste(p, packageVersion(p)), "")
  writeLines(paste(c("versions", R.version.string, versions), collapse = "\t"), out)
  for (name in names(functions)) {
    for (i in seq_along(cases[[name]])) {
      given <- cases[[name]][[i]]
      answer <- tryCatch(suppressMessages(suppressWarnings(functions[[name]](given))), error = function(e) list("!" = conditionMessage(e)))
      for (output in names(answer)) {
        value <- answer[[output]]
        if (is.null(value)) next
        text <- if (is.numeric(value)) paste(sprintf("%.17g", value), collapse = " ") else gsub("[\t\n]", " ", value[1])
        writeLines(paste(name, i - 1, output, text, sep = "\t"), out)
      }
    }
  }
  close(out)
}

# Where a monotone function passes zero, however far off.
root_of <- function(f, low, high) uniroot(f, c(low, high), extendInt = "yes", tol = 1e-13, maxiter = 5000)$root

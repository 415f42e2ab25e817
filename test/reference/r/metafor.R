source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "common.R"))
suppressMessages(library(metafor))

run(list(
  pool = function(g) {
    by <- function(method, ...) {
      rma(
        yi = numbers(g$estimates), sei = numbers(g$standardErrors), method = method, level = 100 * g$confidence,
        control = if (method == "REML") list(threshold = 1e-13, maxiter = 10000) else if (method == "PM") list(tol = 1e-13), ...
      )
    }
    found <- function(m) c(m$beta, m$tau2, m$ci.lb, m$ci.ub)
    fixed <- by("FE")
    dl <- by("DL")
    hk <- by("REML", test = "knha")
    next_one <- predict(hk)
    list(
      fixed = c(fixed$beta, fixed$se, fixed$ci.lb, fixed$ci.ub), dl = found(dl), pm = found(by("PM")), reml = found(by("REML")),
      hartungKnapp = c(hk$ci.lb, hk$ci.ub), prediction = c(next_one$pi.lb, next_one$pi.ub),
      heterogeneity = c(dl$QE, dl$QEp, dl$I2 / 100)
    )
  }
), "metafor")

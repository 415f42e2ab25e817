source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "common.R"))
library(survival)

laws <- c(normal = "gaussian", lognormal = "lognormal", weibull = "weibull")
control <- survreg.control(rel.tolerance = 1e-13, toler.chol = 1e-14, maxiter = 1000)

fitted_by <- function(law, x, failed, ...) survreg(Surv(x, failed) ~ 1, dist = laws[[law]], control = control, ...)

# survreg's own likelihood at a location and a spread of the values, or of their logarithms.
likelihood <- function(law, x, failed, location, log_spread) {
  y <- if (law == "normal") x else log(x)
  z <- (y - location) / exp(log_spread)
  law_of_z <- if (law == "weibull") list(log_density = z - exp(z), log_upper = -exp(z)) else
    list(log_density = dnorm(z, log = TRUE), log_upper = pnorm(z, lower.tail = FALSE, log.p = TRUE))
  sum((law_of_z$log_density - log_spread)[failed]) + sum(law_of_z$log_upper[!failed])
}

profile_ends <- function(law, x, failed, location, spread, confidence) {
  top <- likelihood(law, x, failed, location, log(spread))
  limit <- qchisq(confidence, 1) / 2
  along_location <- function(m) {
    best <- optimize(function(s) likelihood(law, x, failed, m, s), log(spread) + c(-4, 6), maximum = TRUE, tol = 1e-10)
    top - best$objective - limit
  }
  along_spread <- function(log_s) {
    s <- exp(log_s)
    best <- optimize(function(m) likelihood(law, x, failed, m, log_s), location + c(-1, 1) * 20 * max(s, spread), maximum = TRUE, tol = 1e-11)
    top - best$objective - limit
  }
  upward <- function(f, from, step) {
    while (f(from + step) < 0) step <- 1.5 * step
    uniroot(function(d) f(from + d), c(0, step), tol = 1e-11)$root + from
  }
  downward <- function(f, from, step) {
    while (f(from - step) < 0) step <- 1.5 * step
    from - uniroot(function(d) f(from - d), c(0, step), tol = 1e-11)$root
  }
  list(
    location = c(downward(along_location, location, spread / 3), upward(along_location, location, spread / 3)),
    spread = exp(c(downward(along_spread, log(spread), 0.2), upward(along_spread, log(spread), 0.2)))
  )
}

fit <- function(g) {
  x <- numbers(g$values)
  failed <- !unlist(g$censored)
  n <- length(x)
  model <- fitted_by(g$family, x, failed)
  location <- as.numeric(coef(model))
  spread <- model$scale
  ends <- profile_ends(g$family, x, failed, location, spread, g$confidence)
  if (g$family == "weibull") {
    parameters <- c(1 / spread, exp(location))
    intervals <- list(rev(1 / ends$spread), exp(ends$location))
  } else {
    parameters <- c(location, spread)
    intervals <- list(ends$location, ends$spread)
  }
  # survreg gives the likelihood on the scale of the values.
  l <- model$loglik[2]
  list(parameters = parameters, logLikelihood = l, aicc = -2 * l + 4 + 12 / (n - 3), first = intervals[[1]], second = intervals[[2]])
}

run(list(
  "fit-normal" = fit,
  "fit-lognormal" = fit,
  "fit-weibull" = fit,
  "fit-compare" = function(g) {
    x <- numbers(g$values)
    failed <- !unlist(g$censored)
    l <- sapply(sort(names(laws)), function(law) fitted_by(law, x, failed)$loglik[2])
    list(difference = 2 * (max(l) - l), weight = exp(l - max(l)) / sum(exp(l - max(l))))
  },
  "survival-curve" = function(g) {
    x <- numbers(g$values)
    failed <- !unlist(g$censored)
    # timefix off: values that differ in the last digit are two values.
    model <- survfit(Surv(x, failed) ~ 1, timefix = FALSE)
    at <- model$n.event > 0
    steps <- summary(model, censored = FALSE)
    error <- steps$std.err[steps$surv > 0]
    low <- which(model$surv <= 0.5 + 1e-12)
    list(
      survival = model$surv[at], standardError = if (length(error) > 0) error, atRisk = model$n.risk[at],
      median = if (length(low) > 0) model$time[low[1]]
    )
  }
), "survival")

source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "common.R"))

one_sided <- function(n, content, confidence) qt(confidence, n - 1, ncp = qnorm(content) * sqrt(n)) / sqrt(n)

two_sided <- function(n, content, confidence) {
  half <- function(shift) {
    uniroot(function(r) pnorm(shift + r) - pnorm(shift - r) - content, c(0, 12 + abs(shift)), tol = 1e-13)$root
  }
  reached <- function(k) {
    inside <- function(z) {
      r <- sapply(z / sqrt(n), half)
      dnorm(z) * pchisq((n - 1) * (r / k)^2, n - 1, lower.tail = FALSE)
    }
    # Even in z; beyond 8 the density is below 1e-14.
    2 * (integrate(inside, 0, 2, rel.tol = 1e-9)$value + integrate(inside, 2, 8, rel.tol = 1e-9)$value)
  }
  start <- qnorm(0.5 + content / 2) * sqrt((n - 1) * (1 + 1 / n) / qchisq(1 - confidence, n - 1))
  exp(uniroot(function(log_k) reached(exp(log_k)) - confidence, log(start) + c(-0.1, 0.1), extendInt = "upX", tol = 1e-10)$root)
}

# Lawless, 5.1.2, written anew: the weight of the spread b of log values, and given b a gamma law of the location.
weibull_bound <- function(x, censored, content, confidence) {
  y <- log(x)
  r <- sum(!censored)
  middle <- mean(y[!censored])
  size <- sd(y[!censored])
  z <- (y - middle) / size
  log_sum <- function(b) sapply(b, function(one) { a <- z / one; max(a) + log(sum(exp(a - max(a)))) })
  log_weight <- function(log_b) (1 - r) * log_b + sum(z[!censored]) / exp(log_b) - r * log_sum(exp(log_b))
  best <- optimize(log_weight, c(-5, 8), maximum = TRUE, tol = 1e-10)
  weight <- function(log_b) exp(log_weight(log_b) - best$objective)
  # By parts, so that integrate does not miss the peak.
  edges <- best$maximum + c(-4, -2, -1, -0.5, -0.2, 0, 0.2, 0.5, 1, 2, 4, 8, 16, 40)
  over <- function(f) sum(sapply(seq_len(length(edges) - 1), function(i) integrate(f, edges[i], edges[i + 1], rel.tol = 1e-10, abs.tol = 1e-14)$value))
  all <- over(weight)
  cleared <- function(xi) {
    over(function(log_b) weight(log_b) * pgamma(exp(log(-log(content)) + log_sum(exp(log_b)) - xi / exp(log_b)), r)) / all
  }
  middle + size * root_of(function(xi) confidence - cleared(xi), -6, 0)
}

# Brute force: the posterior of mean and log spread (prior flat in both) on a grid, and the quantile of the bound under it.
grid_bound <- function(y, censored, content, confidence) {
  centre <- mean(y)
  size <- sd(y)
  z <- (y - centre) / size
  log_b <- seq(log(0.15), log(300), length.out = 900)
  u <- (seq_len(600) - 0.5) / 600
  # The mean on a grid that widens with the spread.
  cells <- expand.grid(v = qt(u, 3), log_b = log_b)
  b <- exp(cells$log_b)
  mu <- cells$v * b / sqrt(sum(!censored)) + mean(z[!censored])
  log_weight <- -cells$log_b * sum(!censored) + cells$log_b - dt(cells$v, 3, log = TRUE)
  for (i in seq_along(z)) {
    a <- (z[i] - mu) / b
    log_weight <- log_weight + if (censored[i]) pnorm(a, lower.tail = FALSE, log.p = TRUE) else -a^2 / 2
  }
  weight <- exp(log_weight - max(log_weight))
  at <- mu - qnorm(content) * b
  by <- order(at)
  mass <- cumsum(weight[by]) / sum(weight)
  centre + size * approx(mass, at[by], 1 - confidence, ties = "ordered")$y
}

hanson_koopmans <- function(n, j, content, confidence) {
  if (1 - content^n >= confidence) return(1)
  share <- 1 - content
  # U(j) is a beta; given it, U(1) / U(j) is the least of j - 1 uniforms.
  reached <- function(z) {
    inside <- function(u) {
      least <- exp(log(share / u) / z)
      dbeta(u, j, n - j + 1) * (1 - (1 - least)^(j - 1))
    }
    middle <- qbeta(c(0.01, 0.5, 0.99), j, n - j + 1)
    edges <- sort(unique(c(share, pmax(share, middle), 1)))
    pbeta(share, j, n - j + 1) + sum(sapply(seq_len(length(edges) - 1), function(i) integrate(inside, edges[i], edges[i + 1], rel.tol = 1e-11)$value))
  }
  exp(root_of(function(log_z) reached(exp(log_z)) - confidence, 0, 2))
}

marked <- function(g) if (is.null(g$censored)) rep(FALSE, length(g$values)) else unlist(g$censored)

run(list(
  "tolerance-one" = function(g) list(factor = one_sided(g$n, g$content, g$confidence)),
  "tolerance-two" = function(g) list(factor = two_sided(g$n, g$content, g$confidence)),
  "bound-normal" = function(g) {
    x <- numbers(g$values)
    list(bound = mean(x) - one_sided(length(x), g$content, g$confidence) * sd(x))
  },
  "bound-lognormal" = function(g) {
    x <- log(numbers(g$values))
    list(bound = exp(mean(x) - one_sided(length(x), g$content, g$confidence) * sd(x)))
  },
  "bound-mean-3sd" = function(g) {
    x <- numbers(g$values)
    n <- length(x)
    list(bound = mean(x) - 3 * sd(x), confidence = pt(3 * sqrt(n), n - 1, ncp = qnorm(g$content) * sqrt(n)))
  },
  "bound-weibull" = function(g) list(bound = weibull_bound(numbers(g$values), marked(g), g$content, g$confidence)),
  "bound-censored-normal" = function(g) list(bound = grid_bound(numbers(g$values), marked(g), g$content, g$confidence)),
  "bound-censored-lognormal" = function(g) list(bound = exp(grid_bound(log(numbers(g$values)), marked(g), g$content, g$confidence))),
  "bound-distribution-free" = function(g) {
    x <- sort(numbers(g$values))
    n <- length(x)
    # At least r of n below the quantile; a tie such as one half of one half holds, though rounding may say otherwise.
    order <- max(which(pbinom(seq_len(n) - 1, n, 1 - g$content, lower.tail = FALSE) >= g$confidence * (1 - 1e-12)))
    list(bound = x[order], order = order)
  },
  "bound-hanson-koopmans" = function(g) list(factor = hanson_koopmans(length(g$values), g$upperOrder, g$content, g$confidence))
))

source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "common.R"))

test_of <- function(name, test) {
  answer <- list(as.numeric(test$conf.int), c(test$statistic, test$parameter, test$p.value))
  setNames(answer, paste0(name, c("Interval", "Test")))
}

pairs_of <- function(k) combn(k, 2)

run(list(
  "compare-two" = function(g) {
    a <- numbers(g$a)
    b <- numbers(g$b)
    n <- length(a)
    m <- length(b)
    all <- c(a, b)
    splits <- combn(n + m, n)
    sums <- colSums(matrix(all[splits], nrow = n))
    far <- function(s) abs(s / n - (sum(all) - s) / m)
    ranks <- rank(all)
    u_of <- colSums(matrix(ranks[splits], nrow = n)) - n * (n + 1) / 2
    u <- sum(ranks[seq_len(n)]) - n * (n + 1) / 2
    flat <- function(x) isTRUE(all.equal(var(x), 0, tolerance = 1e-24))
    effect <- NULL
    pooled <- if (!(flat(a) && flat(b))) t.test(a, b, var.equal = TRUE, conf.level = g$confidence)
    if (!is.null(pooled)) {
      df <- n + m - 2
      t <- as.numeric(pooled$statistic)
      scale <- sqrt(1 / n + 1 / m)
      tail <- (1 - g$confidence) / 2
      limit <- function(p) root_of(function(ncp) pt(t, df, ncp) - p, t - 4, t + 4) * scale
      sd <- sqrt((var(a) * (n - 1) + var(b) * (m - 1)) / df)
      effect <- list(
        g = t * scale * exp(lgamma(df / 2) - lgamma((df - 1) / 2)) / sqrt(df / 2),
        # R takes no non-centrality above 37.62, and a limit may lie well beyond t.
        gInterval = if (abs(t) < 12) c(limit(1 - tail), limit(tail)),
        detectable = if (n == m) power.t.test(n = n, sd = sd, power = 0.8, sig.level = 0.05, tol = 1e-12)$delta
      )
    }
    c(
      if (!is.null(pooled)) test_of("welch", t.test(a, b, conf.level = g$confidence)),
      if (!is.null(pooled)) test_of("pooled", pooled),
      if (isTRUE(g$paired) && !flat(a - b)) test_of("paired", t.test(a, b, paired = TRUE, conf.level = g$confidence)),
      effect,
      list(
        permutationP = mean(far(sums) >= far(sum(a)) * (1 - 1e-10)),
        u = u,
        rankP = c(mean(abs(u_of - n * m / 2) >= abs(u - n * m / 2)), mean(u_of >= u), mean(u_of <= u)),
        chance = mean(outer(a, b, function(x, y) (x > y) + (x == y) / 2))
      )
    )
  },
  "mann-whitney-many" = function(g) {
    a <- numbers(g$a)
    b <- numbers(g$b)
    p <- function(side) wilcox.test(a, b, alternative = side, exact = TRUE)$p.value
    list(u = as.numeric(wilcox.test(a, b, exact = TRUE)$statistic), rankP = c(p("two.sided"), p("greater"), p("less")))
  },
  "compare-many" = function(g) {
    values <- groups_of(g$groups)
    k <- length(values)
    n <- lengths(values)
    data <- data.frame(y = unlist(values), g = factor(rep(seq_len(k), n)))
    table <- summary(aov(y ~ g, data))[[1]]
    f <- table[1, "F value"]
    df1 <- k - 1
    df2 <- sum(n) - k
    ss <- table[, "Sum Sq"]
    ms <- ss[2] / df2
    tukey <- TukeyHSD(aov(y ~ g, data), conf.level = g$confidence)$g
    pairs <- pairs_of(k)
    means <- sapply(values, mean)
    parts <- sapply(values, var) / n
    howell <- apply(pairs, 2, function(p) {
      v <- parts[p]
      df <- sum(v)^2 / sum(v^2 / (n[p] - 1))
      unit <- sqrt(sum(v) / 2)
      difference <- diff(means[p])
      c(difference + c(-1, 1) * qtukey(g$confidence, k, df) * unit, ptukey(abs(difference) / unit, k, df, lower.tail = FALSE))
    })
    scatter <- all(parts > 0)
    welch <- if (scatter) oneway.test(y ~ g, data)
    rank <- kruskal.test(y ~ g, data)
    share <- function(p) {
      if (pf(f, df1, df2) < p) return(0)
      ncp <- uniroot(function(l) pf(f, df1, df2, l) - p, c(0, 2 * f * df1 + 50), extendInt = "downX", tol = 1e-12)$root
      ncp / (ncp + sum(n))
    }
    list(
      anova = c(f, ss), anovaP = table[1, "Pr(>F)"],
      welchAnova = if (scatter) c(welch$statistic, welch$parameter[2], welch$p.value),
      kruskal = c(rank$statistic, rank$p.value),
      tukeyDifference = tukey[, 1], tukeyEnds = as.numeric(t(tukey[, 2:3])), tukeyP = tukey[, 4],
      gamesHowellEnds = if (scatter) as.numeric(howell[1:2, ]), gamesHowellP = if (scatter) howell[3, ],
      omegaSquared = (ss[1] - df1 * ms) / (sum(ss) + ms),
      shareInterval = if (f < 200) c(share(0.5 + g$confidence / 2), share(0.5 - g$confidence / 2))
    )
  }
))
